// What is woven and drawn for the contact sheets of materials: jobs for the page, as plain data.
import { liftsOf, readPreset, sampleOnLoom } from './sheetSample.mjs';

/** A picture's size on a sheet, px. */
export const CELL = { width: 176, height: 132 };
/** One minute of arc a pixel, which is what an eye parts, at 2 m. */
const FAR_MM_PER_PX = 2000 * Math.tan(Math.PI / 180 / 60);
/** A near picture shows about so many widths of the weft, in one of these breadths, mm. */
const WIDTHS_ACROSS = 8;
const BREADTHS_MM = [6, 8, 10, 12, 16, 20, 24, 32, 40, 48];
/** Picks lie no closer than this share of a weft's width as pressed: they ride up on one another in sateen. */
const LEAST_PITCH = 0.6;
const WARP_COLOUR = '#9b958a';
export const WEAVES = ['plain', 'sateen'];

/**
 * Neutral cotton by the weft's width, at setts that weavers give these counts in plain weave (common practice): 20/2 at 30 ends
 * an inch, 8/2 at 20, carpet warp 8/4 at 12.
 */
const WARPS = [
  {
    upToMm: 0.75,
    card: 'cotton-20-2',
    dentsPerCm: 6,
    endsPerDent: 2,
    sateen: 'sateen-8',
    cN: 40,
    words: 'cotton 20/2, 30 ends/in',
  },
  {
    upToMm: 1.8,
    card: 'cotton-8-2',
    dentsPerCm: 4,
    endsPerDent: 2,
    sateen: 'sateen-8',
    cN: 60,
    words: 'cotton 8/2, 20 ends/in',
  },
  {
    upToMm: Number.POSITIVE_INFINITY,
    card: 'cotton-8-4',
    dentsPerCm: 12 / 2.54,
    endsPerDent: 1,
    sateen: 'sateen-5',
    cN: 120,
    words: 'carpet warp 8/4, 12 ends/in',
  },
];

/** Width of a strand, mm, where nothing presses it and where the cloth does: a rod of its weight and packing. */
function widthsMm({ stripWidthMm, freeWidthMm, contactWidthMm, tex, packingFraction, fibreDensityGPerCm3 }) {
  const rod = 2 * Math.sqrt((tex * 1e-6) / (Math.PI * packingFraction * fibreDensityGPerCm3 * 1e-3));
  const flat = freeWidthMm === undefined ? stripWidthMm : undefined;
  return { free: freeWidthMm ?? flat ?? rod, pressed: contactWidthMm ?? flat ?? rod };
}

/** Of strands that lie together. */
function together(widths) {
  return Math.sqrt(widths.reduce((sum, width) => sum + width ** 2, 0));
}

function weftCards(material) {
  return material.strands.map(({ card, dye, cutMm }) => {
    const { sources: _sources, colourRepeat, ...whole } = readPreset(`yarns/${card}`);
    // The same cloth in narrower strips.
    const rest = cutMm ? { ...whole, stripWidthMm: cutMm, tex: (whole.tex * cutMm) / whole.stripWidthMm } : whole;
    if (dye) return { ...rest, coneColour: dye };
    return colourRepeat ? { ...rest, colourRepeat } : rest;
  });
}

/** Where and on what a material is woven: warp, breadth of the near picture, its line of care. */
export function settingOf(material) {
  const cards = weftCards(material);
  const width = together(cards.map((card) => widthsMm(card).free));
  const warp = WARPS.find(({ upToMm }) => width <= upToMm);
  const breadth = BREADTHS_MM.find((each) => each >= WIDTHS_ACROSS * width) ?? BREADTHS_MM[BREADTHS_MM.length - 1];
  return { cards, warp, acrossMm: material.acrossMm ?? breadth, cautions: cards[0].cautions };
}

/** Ends and picks enough to fill a picture at 2 m, and a little more. */
function sampleOf(material, weave) {
  const { cards, warp } = settingOf(material);
  const every = material.laidInEvery ?? 1;
  const ground = widthsMm(readPreset(`yarns/${warp.card}`)).pressed;
  const pressed = (together(cards.map((card) => widthsMm(card).pressed)) + (every - 1) * ground) / every;
  const structure = weave === 'plain' ? 'plain' : warp.sateen;
  const shafts = structure === 'sateen-5' ? 5 : 16;
  const lifts = liftsOf(structure, shafts);
  const repeats = Math.ceil((CELL.width * FAR_MM_PER_PX * 1.1 * warp.dentsPerCm * warp.endsPerDent) / 10 / shafts);
  const picks = Math.ceil((CELL.height * FAR_MM_PER_PX) / (LEAST_PITCH * pressed));
  const yarns = Object.fromEntries(cards.map((card, k) => [`weft${k + 1}`, { ...card, id: `weft${k + 1}` }]));
  return sampleOnLoom(
    `${material.label}, ${weave}`,
    {
      id: 'neutral',
      ends: repeats * shafts,
      order: `1 neutral x${repeats * shafts}`,
      reed: { dentsPerCm: warp.dentsPerCm, endsPerDent: warp.endsPerDent },
      threading: `1-${shafts} x${repeats}`,
      tensionCNPerEnd: warp.cN,
      fixed: true,
    },
    {
      yarns: {
        neutral: { ...withoutSources(readPreset(`yarns/${warp.card}`)), id: 'neutral', coneColour: WARP_COLOUR },
        ...yarns,
      },
      beat: { firmness: 0.85, scatterPercent: 3, seed: 11 },
      finish: { treatment: 'none' },
      picks: Array.from({ length: picks }, (_, k) => ({
        lift: lifts[k % lifts.length],
        passes: [
          {
            strands: k % every === 0 ? Object.keys(yarns) : ['neutral'],
            enters: k % 2 === 0 ? 'left' : 'right',
            ends: 'selvedge',
          },
        ],
      })),
    },
  );
}

function withoutSources({ sources: _sources, ...card }) {
  return card;
}

/** The eight pictures of a sample, in the order of a sheet's columns. */
export const VIEWS = ['near', '2 m'].flatMap((distance) =>
  ['face', 'back'].flatMap((side) => ['square', 'turned'].map((view) => ({ distance, side, view }))),
);

export function pictureFile(materialId, weave, { distance, side, view }) {
  return `${materialId}_${weave}_${distance.replace(' ', '')}_${side}_${view}.png`;
}

/**
 * One job a sample: `{ title, sample, views, files }`, the sample and its views as `foreclothStills` takes them (the sample as
 * text), and the file that each picture goes to.
 * @param size of near pictures, px, in the shape of a sheet's cells
 * @param only near pictures, for the blind sheets
 */
export function jobsOf(materials, { size, samples, light, nearOnly }) {
  return materials.flatMap((material) =>
    WEAVES.map((weave) => {
      const views = VIEWS.filter(({ distance }) => !nearOnly || distance === 'near');
      return {
        title: `${material.label}, ${weave}`,
        sample: sampleOf(material, weave),
        views: views.map(({ distance, side, view }) => ({
          side,
          view,
          samples: Math.max(samples, material.leastSamples ?? 0),
          light,
          ...(distance === 'near'
            ? { ...size, mmPerPx: settingOf(material).acrossMm / size.width }
            : { ...CELL, mmPerPx: FAR_MM_PER_PX }),
        })),
        files: views.map((view) => pictureFile(material.id, weave, view)),
      };
    }),
  );
}
