// `npm run guide` draws the pictures of docs/guide.md and README.md anew: see guideScenes.mjs and guideSamples.mjs for what they show.
import { existsSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { drawJobs } from './drawJobs.mjs';
import { SAMPLE_SCENES } from './guideSamples.mjs';
import { SCENES as OTHER_SCENES } from './guideScenes.mjs';
import { root } from './prepare.mjs';
import { readOnly, readOptions, readSamples, refuserOf } from './scriptArguments.mjs';

const SCENES = { ...OTHER_SCENES, ...SAMPLE_SCENES };

const usage = `npm run guide -- [options]
  --only NAME,NAME    some pictures: ${Object.keys(SCENES).join(', ')}
  --samples N         samples a pixel, in place of the picture's own
  --pictures FOLDER   where panels go (a new temporary folder); those there already are kept
  --jobs FILE         writes what would be drawn, as JSON, and draws nothing (see npm run materials)
  --compose FOLDER    draws nothing: lays out the panels of this folder
  --out FOLDER        where the pictures go (docs/pictures)`;
const GAP = 8;
const QUALITY = 0.9;

const refuse = refuserOf('guide');
const text = { type: 'string' };
const values = readOptions(
  {
    only: { ...text, default: '' },
    samples: text,
    pictures: text,
    jobs: text,
    compose: text,
    out: { ...text, default: `${root}docs/pictures` },
  },
  usage,
  refuse,
);
const names = readOnly(values.only, Object.keys(SCENES), 'no such picture; --help names them', refuse);
const samples = values.samples && readSamples(values.samples, refuse);

const panelFile = (name, k) => `${name}_${k}.png`;
const jobs = names.flatMap((name) =>
  SCENES[name].map(({ sample, view }, k) => ({
    title: `${name}, ${k + 1}`,
    sample,
    views: [{ ...view, ...(samples ? { samples } : {}) }],
    files: [panelFile(name, k)],
  })),
);
if (values.jobs) {
  writeFileSync(values.jobs, JSON.stringify(jobs));
  console.log(`${values.jobs}: ${jobs.length} jobs`);
  process.exit(0);
}

const folder = resolve(values.compose ?? values.pictures ?? mkdtempSync(join(tmpdir(), 'forecloth-guide-')));
let failures = [];
if (values.compose) {
  if (!existsSync(folder)) refuse(`--compose ${values.compose}: no such folder`);
} else {
  mkdirSync(folder, { recursive: true });
  failures = await drawJobs(jobs, folder, 'guide');
}
await layOut();
if (failures.length > 0)
  refuse(`${failures.length} of ${jobs.length} panels could not be drawn; the rest is in ${folder}`);
process.exit(0);

/** One JPEG a picture, its panels side by side; one whose panels are not all there is left as it is. */
async function layOut() {
  const out = resolve(values.out);
  mkdirSync(out, { recursive: true });
  const { openJpegSheets } = await import('./jpegSheet.mjs');
  const sheets = await openJpegSheets();
  try {
    for (const name of names) {
      const panels = SCENES[name].map(({ view: { width, height } }, k) => ({
        width,
        height,
        path: join(folder, panelFile(name, k)),
      }));
      if (!panels.every(({ path }) => existsSync(path))) continue;
      let right = -GAP;
      const pictures = panels.map(({ path, width, height }) => {
        const x = right + GAP;
        right = x + width;
        return { x, y: 0, width, height, png: readFileSync(path) };
      });
      const height = Math.max(...panels.map((panel) => panel.height));
      const path = join(out, `${name}.jpg`);
      writeFileSync(path, await sheets.draw({ width: right, height, texts: [], pictures, quality: QUALITY }));
      console.log(path);
    }
  } finally {
    await sheets.close();
  }
}
