import { DraftError } from '#engine/draft/draftError.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { leastCommonMultiple } from '#engine/draft/repeats.ts';
import { plainWeave } from './basicWeaves.ts';

/** Which cloth a thread belongs to. */
export type Layer = 'face' | 'back';

/**
 * Two cloths, one over the other, unstitched. Every back end lies under every face pick and every face end over every
 * back pick; within its own layer each cloth weaves by itself. The orders repeat until both cloths come round.
 * @param back as seen from the face (1 where its warp is nearer the viewer).
 * @throws DraftError where an order leaves a layer without threads.
 */
export function doubleCloth(
  face: Drawdown,
  back: Drawdown,
  endOrder: readonly Layer[],
  pickOrder: readonly Layer[],
): Drawdown {
  const ends = lengthToComeRound(endOrder, face.ends, back.ends, 'end');
  const rows = lengthToComeRound(pickOrder, face.rows, back.rows, 'pick');
  const endPlaces = placesWithin(endOrder, ends);
  const pickPlaces = placesWithin(pickOrder, rows);
  const drawdown = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    const pickLayer = pickOrder[row % pickOrder.length];
    for (let end = 0; end < ends; end++) {
      const endLayer = endOrder[end % endOrder.length];
      const weave = endLayer === 'face' ? face : back;
      const up =
        endLayer === pickLayer
          ? isWarpUp(weave, pickPlaces[row] % weave.rows, endPlaces[end] % weave.ends)
          : endLayer === 'face';
      if (up) setWarpUp(drawdown, row, end, true);
    }
  }
  return drawdown;
}

/** Double plain weave from the order of face and back threads; the first end of each cloth is up on its first pick. */
export function doublePlain(endOrder: readonly Layer[], pickOrder: readonly Layer[]): Drawdown {
  return doubleCloth(plainWeave(), plainWeave(), endOrder, pickOrder);
}

function lengthToComeRound(order: readonly Layer[], face: number, back: number, part: 'end' | 'pick'): number {
  const faceThreads = order.filter((layer) => layer === 'face').length;
  const backThreads = order.length - faceThreads;
  if (faceThreads === 0 || backThreads === 0) {
    throw new DraftError(
      'nothing-there',
      { part, at: order.length },
      `The ${part} order gives the ${faceThreads === 0 ? 'face' : 'back'} cloth no ${part}s; each cloth needs some.`,
    );
  }
  const timesForFace = leastCommonMultiple(faceThreads, face) / faceThreads;
  const timesForBack = leastCommonMultiple(backThreads, back) / backThreads;
  return order.length * leastCommonMultiple(timesForFace, timesForBack);
}

/** Per thread: how many threads of its own layer come before it. */
function placesWithin(order: readonly Layer[], length: number): Uint32Array {
  const places = new Uint32Array(length);
  const next: Record<Layer, number> = { face: 0, back: 0 };
  for (let thread = 0; thread < length; thread++) places[thread] = next[order[thread % order.length]]++;
  return places;
}
