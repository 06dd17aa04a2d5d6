// `npm run materials` draws every kind of material as a weft: see docs/materials.md, which it writes.
import { existsSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { drawJobs } from './drawJobs.mjs';
import { CELL, jobsOf } from './materialsJobs.mjs';
import { materialsPage } from './materialsPage.mjs';
import { blindSheets, namedSheet, shuffled } from './materialsSheets.mjs';
import { MATERIALS, SHEETS } from './materialsShelf.mjs';
import { root } from './prepare.mjs';
import { readOnly, readOptions, readSamples, refuserOf } from './scriptArguments.mjs';

const usage = `npm run materials -- [options]
  --only ID,ID        some materials; --list names them
  --size WIDTHxHEIGHT of near pictures, px, four to three (${CELL.width}x${CELL.height})
  --samples N         samples a pixel, 32 to 256 (32)
  --light NAME        as of npm run still (window)
  --pictures FOLDER   where single pictures go (a new temporary folder); those there already are kept
  --jobs FILE         writes what would be drawn, as JSON, and draws nothing: a list of { title, sample, views, files };
                      the page opened with ?still=1 draws a job by foreclothStills(JSON.stringify(sample), views)
  --compose FOLDER    draws nothing: lays out the pictures of this folder
  --blind             near pictures numbered in a shuffled order, without names; answers in a file beside
  --seed N            of that order (1)
  --out FOLDER        where sheets go (docs/pictures/materials; blind ones: materials-blind)
  --list              names the materials`;

const refuse = refuserOf('materials');
const text = { type: 'string' };
const values = readOptions(
  {
    only: { ...text, default: '' },
    size: { ...text, default: `${CELL.width}x${CELL.height}` },
    samples: { ...text, default: '32' },
    light: { ...text, default: 'window' },
    pictures: text,
    jobs: text,
    compose: text,
    blind: { type: 'boolean', default: false },
    seed: { ...text, default: '1' },
    out: text,
    list: { type: 'boolean', default: false },
  },
  usage,
  refuse,
);
if (values.list) {
  for (const { id, label, sheet } of MATERIALS) console.log(`${sheet.padEnd(8)}${id.padEnd(20)}${label}`);
  process.exit(0);
}
const [width, height] = /^(\d+)x(\d+)$/.exec(values.size)?.slice(1).map(Number) ?? [];
if (!(width >= 32 && width <= 2000 && Math.abs(width / height - CELL.width / CELL.height) < 0.02)) {
  refuse(`--size ${values.size}: WIDTHxHEIGHT, four to three, 32 to 2000 px wide, such as 320x240`);
}
const size = { width, height };
const samples = readSamples(values.samples, refuse);
const known = MATERIALS.map(({ id }) => id);
const ids = readOnly(values.only, known, 'no such material; --list names them', refuse);
const wanted = MATERIALS.filter(({ id }) => ids.includes(id));
const jobs = jobsOf(wanted, { size, samples, light: values.light, nearOnly: values.blind });

if (values.jobs) {
  writeFileSync(values.jobs, JSON.stringify(jobs));
  console.log(`${values.jobs}: ${jobs.length} jobs, ${jobs.flatMap(({ files }) => files).length} pictures`);
  process.exit(0);
}

const folder = resolve(values.compose ?? values.pictures ?? mkdtempSync(join(tmpdir(), 'forecloth-materials-')));
if (values.compose) {
  if (!existsSync(folder)) refuse(`--compose ${values.compose}: no such folder`);
} else {
  mkdirSync(folder, { recursive: true });
  const failures = await drawJobs(jobs, folder, 'materials');
  if (failures.length > 0)
    refuse(`${failures.length} of ${jobs.length} samples could not be drawn; the rest is in ${folder}`);
}
await layOut(folder);
process.exit(0);

async function layOut(folder) {
  const out = resolve(values.out ?? (values.blind ? 'materials-blind' : `${root}docs/pictures/materials`));
  mkdirSync(out, { recursive: true });
  const { openJpegSheets } = await import('./jpegSheet.mjs');
  const sheets = await openJpegSheets();
  const missing = [];
  try {
    for (const [name, plan] of values.blind ? blindPlans(folder, out) : namedPlans(folder)) {
      const path = join(out, name);
      const sheet = plan();
      missing.push(...sheet.missing);
      writeFileSync(path, await sheets.draw(sheet));
      console.log(path);
    }
  } catch (error) {
    refuse(error instanceof Error ? error.message : String(error));
  } finally {
    await sheets.close();
  }
  // The page tells of whole sheets only.
  if (!values.blind && !values.only && !values.out) writeFileSync(`${root}docs/materials.md`, materialsPage(SHEETS));
  if (missing.length > 0) {
    const some = missing.slice(0, 5).join(', ');
    refuse(
      `${missing.length} pictures are not in ${folder}, among them ${some}: draw them, or name others with --only`,
    );
  }
}

function namedPlans(folder) {
  return SHEETS.flatMap(({ id, title, materials }) => {
    const shown = materials.filter((material) => ids.includes(material.id));
    return shown.length === 0 ? [] : [[`${id}.jpg`, () => namedSheet(title, shown, folder)]];
  });
}

/** Pictures are shown as large as they were drawn. */
function blindPlans(folder, out) {
  const order = shuffled(wanted, values.seed);
  const answers = order.map(({ id, label }, k) => `${k + 1}\t${id}\t${label}\n`).join('');
  const path = join(out, 'answers.tsv');
  writeFileSync(path, answers);
  console.log(path);
  const some = jobs.flatMap(({ files }) => files).find((file) => existsSync(join(folder, file)));
  if (!some) refuse(`${folder} holds no picture of these materials: draw them first`);
  const drawn = sizeOf(join(folder, some));
  const plans = blindSheets(order, folder, drawn);
  return plans.map((plan, k) => [`blind-${k + 1}.jpg`, () => plan]);
}

/** Of a PNG: width and height stand at bytes 16 and 20. */
function sizeOf(file) {
  const bytes = readFileSync(file);
  return { width: bytes.readUInt32BE(16), height: bytes.readUInt32BE(20) };
}
