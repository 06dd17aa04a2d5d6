// The ground that the guide's pictures are woven on, of preset yarns.
import { liftsOf, readPreset, sampleOnLoom } from './sheetSample.mjs';

/** A preset's yarn, in a colour of its own where one is named. */
export function card(id, colour, more = {}) {
  const { sources: _sources, ...rest } = readPreset(`yarns/${id}`);
  return { ...rest, ...(colour ? { coneColour: colour } : {}), ...more };
}

/** One weft right across, from the left and the right in turn. */
export const across = (yarn, pick, more = {}) => [
  { strands: [yarn].flat(), enters: pick % 2 === 0 ? 'left' : 'right', ends: 'selvedge', ...more },
];

/**
 * Plain weave unless told otherwise, of 10/2 cotton at 24 ends to the inch: the ground that forecast.md tells the states of.
 * @param passesOf of a pick's number, from 0
 */
export function sampleOf({
  name,
  yarns,
  passesOf,
  picks,
  ends = 48,
  warp = 'ends',
  firmness = 0.6,
  weave = 'plain',
  ...more
}) {
  const { reed, threading = `1-16 x${Math.ceil(ends / 16)}`, warpMore = {}, ...body } = more;
  const lifts = liftsOf(weave, 16);
  const used = Object.fromEntries(Object.entries(yarns).map(([id, yarn]) => [id, { ...yarn, id }]));
  return sampleOnLoom(
    name,
    {
      id: 'ground',
      ends,
      order: `1 ${warp} x${ends}`,
      reed: reed ?? { dentsPerCm: 24 / 2.54 / 2, endsPerDent: 2 },
      threading,
      tensionCNPerEnd: 60,
      ...warpMore,
    },
    {
      yarns: used,
      beat: { firmness, scatterPercent: 3, seed: 7 },
      finish: { treatment: 'handWashed' },
      picks: Array.from({ length: picks }, (_, k) => ({ lift: lifts[k % lifts.length], passes: passesOf(k) })),
      ...body,
    },
  );
}

/** How a picture is seen unless told otherwise; square on, from its face, on the loom. */
export const near = { side: 'face', view: 'square', samples: 64, light: 'window', state: 'onLoom' };
