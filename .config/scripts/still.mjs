// `npm run still -- <sample.json> --side face --view square --size 900x700 --out cloth.png`
// Draws a sample in headless Chromium, writes the PNG and prints the readings as JSON.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { findChromium, installPackages, requireNode, root, run } from './prepare.mjs';

const usage = `npm run still -- <sample.json> [options]
  --side face|back            which side is seen                (face)
  --view square|turned|raking where it is seen from             (square)
  --size WIDTHxHEIGHT         pixels, 16 to 4000 a side         (900x700)
  --samples N                 samples a pixel, 1 to 256         (16)
  --light NAME                window|spot|raking|overcast|behind|turning (window)
  --zoom N                    1 shows all of it, 4 a quarter of its width (1)
  --out FILE                  where the PNG goes                (still.png)`;

/** Ends with one clear line and exit code 2. */
function refuse(message) {
  console.error(`still: ${message}`);
  process.exit(2);
}

function readArguments() {
  let parsed;
  try {
    parsed = parseArgs({
      allowPositionals: true,
      options: {
        side: { type: 'string', default: 'face' },
        view: { type: 'string', default: 'square' },
        size: { type: 'string', default: '900x700' },
        samples: { type: 'string', default: '16' },
        zoom: { type: 'string', default: '1' },
        light: { type: 'string', default: 'window' },
        out: { type: 'string', default: 'still.png' },
        help: { type: 'boolean', short: 'h', default: false },
      },
    });
  } catch (error) {
    refuse(`${error.message}\n${usage}`);
  }
  const { values, positionals } = parsed;
  if (values.help) {
    console.log(usage);
    process.exit(0);
  }
  if (positionals.length !== 1) refuse(`name one sample file\n${usage}`);
  if (!['face', 'back'].includes(values.side)) refuse(`--side ${values.side}: face or back`);
  if (!['square', 'turned', 'raking'].includes(values.view)) refuse(`--view ${values.view}: square, turned or raking`);
  const lights = ['window', 'spot', 'raking', 'overcast', 'behind', 'turning'];
  if (!lights.includes(values.light)) refuse(`--light ${values.light}: ${lights.join(', ')}`);
  const size = /^(\d+)x(\d+)$/.exec(values.size);
  const [width, height] = size ? [Number(size[1]), Number(size[2])] : [0, 0];
  if (!(width >= 16 && width <= 4000 && height >= 16 && height <= 4000)) {
    refuse(`--size ${values.size}: WIDTHxHEIGHT in pixels, each from 16 to 4000, such as 900x700`);
  }
  const samples = Number(values.samples);
  if (!Number.isInteger(samples) || samples < 1 || samples > 256)
    refuse(`--samples ${values.samples}: a whole number from 1 to 256`);
  const zoom = Number(values.zoom);
  if (!(zoom >= 0.1 && zoom <= 200)) refuse(`--zoom ${values.zoom}: a number from 0.1 to 200`);
  const file = resolve(positionals[0]);
  if (!existsSync(file)) refuse(`${positionals[0]}: no such file`);
  const out = resolve(values.out);
  if (!existsSync(dirname(out))) refuse(`--out ${values.out}: its folder does not exist`);
  return {
    file,
    out,
    text: readFileSync(file, 'utf8'),
    options: { side: values.side, view: values.view, width, height, samples, zoom, light: values.light },
  };
}

const job = readArguments();
requireNode();
installPackages();
const executablePath = findChromium();
run(
  process.execPath,
  [`${root}node_modules/vite/bin/vite.js`, 'build', '--config', '.config/vite.config.ts', '--logLevel', 'error'],
  { stdio: ['ignore', 'ignore', 'inherit'] },
);

const { preview } = await import('vite');
const { chromium } = await import('playwright-core');
const { chromiumFlags } = await import('./chromiumFlags.mjs');
const server = await preview({
  root,
  configFile: `${root}.config/vite.config.ts`,
  preview: { host: '127.0.0.1', port: 0, open: false },
  logLevel: 'error',
});
const browser = await chromium.launch({ executablePath, headless: true, args: chromiumFlags });
let failure;
try {
  const page = await browser.newPage();
  page.on('pageerror', (error) => console.error(`still: ${error.message}`));
  await page.goto(`${server.resolvedUrls.local[0]}?still=1`);
  await page.waitForFunction(() => typeof globalThis.foreclothStill === 'function', undefined, { timeout: 60_000 });
  page.setDefaultTimeout(0);
  const result = await page.evaluate(
    async ([text, options]) => {
      try {
        return await globalThis.foreclothStill(text, options);
      } catch (error) {
        return { refused: error instanceof Error ? error.message : String(error) };
      }
    },
    [job.text, job.options],
  );
  if (result.refused) failure = `${job.file}: ${result.refused}`;
  else {
    writeFileSync(job.out, Buffer.from(result.pngBase64, 'base64'));
    console.log(JSON.stringify(result.readings, null, 2));
  }
} catch (error) {
  failure = error instanceof Error ? error.message : String(error);
} finally {
  await browser.close();
  await server.close();
}
if (failure) refuse(failure);
process.exit(0);
