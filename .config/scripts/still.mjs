// `npm run still -- <sample.json> --side face --view square --size 900x700 --out cloth.png`
// Draws a sample in headless Chromium, writes the PNG and prints the readings as JSON.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';

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
const { openStillPage } = await import('./stillPage.mjs');
const session = await openStillPage((message) => console.error(`still: ${message}`));
let failure;
try {
  const [result] = await session.draw(job.text, [job.options]);
  writeFileSync(job.out, Buffer.from(result.pngBase64, 'base64'));
  console.log(JSON.stringify(result.readings, null, 2));
} catch (error) {
  failure = `${job.file}: ${error instanceof Error ? error.message : String(error)}`;
} finally {
  await session.close();
}
if (failure) refuse(failure);
process.exit(0);
