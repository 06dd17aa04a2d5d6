// `npm run sheet` draws each yarn of the shelf's lustres in plain, 2/2 twill and sateen: near and at 2 m, face and back,
// square and turned; one sheet a structure into docs/pictures. `npm run sheet -- --yarns a,b --weaves plain` for a part.
import { writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { liftsOf, readPreset, sampleOnLoom } from './sheetSample.mjs';
import { openStillPage } from './stillPage.mjs';

const { values } = parseArgs({
  options: {
    yarns: { type: 'string', default: '' },
    weaves: { type: 'string', default: 'plain,twill-2-2,sateen-8' },
    samples: { type: 'string', default: '32' },
    light: { type: 'string', default: 'window' },
    out: { type: 'string', default: 'docs/pictures/lustre' },
  },
});

/** Yarn and how many ends of it lie together, so that all rows weigh about alike. */
const SHELF = [
  ['cotton-16-2', 1],
  ['merino-nm-28-2', 1],
  ['cotton-20-2', 1],
  ['linen-40-2', 1],
  ['viscose-10-2', 1],
  ['rayon-filament-300', 2],
  ['silk-60-2', 2],
  ['metal-film-1-64', 1],
  ['metal-film-twisted', 1],
];
const WIDTH = 200;
const HEIGHT = 150;
/** A thread's width or two a dozen pixels; and one minute of arc a pixel, which is what an eye parts, at 2 m. */
const NEAR_MM_PER_PX = 0.05;
const FAR_MM_PER_PX = 2000 * Math.tan(Math.PI / 180 / 60);
const KELP = '#3f7a52';

function yarn(id, colour) {
  const { sources: _sources, ...card } = readPreset(`yarns/${id}`);
  return { ...card, coneColour: colour };
}

function sampleOf(id, together, weave) {
  const lifts = liftsOf(weave, 16);
  return sampleOnLoom(
    `${weave} in ${id}`,
    {
      id: 'sailcloth',
      ends: 128,
      order: '1 sail x128',
      reed: { dentsPerCm: 6, endsPerDent: 3 },
      threading: '1-16 x8',
      tensionCNPerEnd: 40,
      fixed: true,
    },
    {
      yarns: { sail: { ...yarn('cotton-20-2', '#d8d2c2'), id: 'sail' }, weft: { ...yarn(id, KELP), id: 'weft' } },
      beat: { firmness: 0.92, scatterPercent: 3, seed: 5 },
      finish: { treatment: 'none' },
      picks: Array.from({ length: 176 }, (_, k) => ({
        lift: lifts[k % lifts.length],
        passes: [{ strands: Array(together).fill('weft'), enters: k % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
      })),
    },
  );
}

const VIEWS = [];
for (const [distance, mmPerPx] of [
  ['near', NEAR_MM_PER_PX],
  ['2 m', FAR_MM_PER_PX],
]) {
  for (const side of ['face', 'back']) {
    for (const view of ['square', 'turned'])
      VIEWS.push({ label: `${distance}, ${side}, ${view}`, mmPerPx, side, view });
  }
}

const wanted = values.yarns ? values.yarns.split(',') : SHELF.map(([id]) => id);
const shelf = SHELF.filter(([id]) => wanted.includes(id));
const session = await openStillPage();
try {
  for (const weave of values.weaves.split(',')) {
    const rows = [];
    for (const [id, together] of shelf) {
      const text = JSON.stringify(sampleOf(id, together, weave));
      const views = VIEWS.map(({ mmPerPx, side, view }) => ({
        side,
        view,
        width: WIDTH,
        height: HEIGHT,
        samples: Number(values.samples),
        mmPerPx,
        light: values.light,
      }));
      const pictures = (await session.draw(text, views)).map(({ pngBase64 }) => pngBase64);
      rows.push({ label: `${id}${together > 1 ? ` × ${together}` : ''}`, pictures });
      console.log(`${weave}: ${id}`);
    }
    const jpeg = await session.compose(
      `${weave}, ${values.light}`,
      VIEWS.map(({ label }) => label),
      rows,
      WIDTH,
      HEIGHT,
    );
    const path = `${values.out}-${weave}.jpg`;
    writeFileSync(path, Buffer.from(jpeg, 'base64'));
    console.log(path);
  }
} finally {
  await session.close();
}
process.exit(0);
