// `npm run still -- <sample.json> --side face --view square --size 900x700 --out cloth.png`
// Draws a sample in headless Chromium, writes the PNG and prints the readings as JSON.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';

const usage = `npm run still -- <sample.json> [options]
  --side face|back|both       which side is seen                (face)
  --view square|turned|low    where it is seen from             (square; bent: from its best side)
  --size WIDTHxHEIGHT         pixels, 16 to 6000 a side         (900x700)
  --samples N                 samples a pixel, 1 to 256; of a reference, to 4096 (16)
  --drape MM                  with --reference: face out over an edge of this radius, 1 to 500, seen from before it
  --curl                      with --reference: let go on a table, as it curls, the side that it rolls to up
  --reference                 traced path by path, many bounces: slow, and what the picture is held to
  --state NAME                loom|off|finished (loom)
  --finish NAME               steamed|pressed|soaked|handWashed|machineWashed|tumbled|fulled|brushed, in place of the sample's
  --light NAME                window|spot|raking|overcast|behind|turning (window)
  --from left|right|above     where the raking lamp stands      (left)
  --zoom N                    1 shows all of it, 4 a quarter of its width (1)
  --at ACROSS,UP              middle of the picture, shares of the cloth from its lower left (0.5,0.5)
  --after FILE                what is done after the loom, a list as in a sample's afterLoom, in place of the sample's own
  --dpi N                     true size at N pixels an inch, all of the cloth where no size is named
  --ruler                     a ruler below, in mm of cloth
  --out FILE                  where the PNG goes                (still.png)`;

/** Ends with one clear line and exit code 2. */
function refuse(message) {
  console.error(`still: ${message}`);
  process.exit(2);
}

function readSize(text) {
  const size = /^(\d+)x(\d+)$/.exec(text)?.slice(1).map(Number);
  if (!size?.every((side) => side >= 16 && side <= 6000)) {
    refuse(`--size ${text}: WIDTHxHEIGHT in pixels, each from 16 to 6000, such as 900x700`);
  }
  return size;
}

function readArguments() {
  let parsed;
  try {
    parsed = parseArgs({
      allowPositionals: true,
      options: {
        side: { type: 'string', default: 'face' },
        view: { type: 'string' },
        size: { type: 'string' },
        dpi: { type: 'string' },
        ruler: { type: 'boolean', default: false },
        samples: { type: 'string', default: '16' },
        reference: { type: 'boolean', default: false },
        drape: { type: 'string' },
        curl: { type: 'boolean', default: false },
        zoom: { type: 'string', default: '1' },
        at: { type: 'string', default: '0.5,0.5' },
        after: { type: 'string' },
        state: { type: 'string', default: 'loom' },
        finish: { type: 'string' },
        light: { type: 'string', default: 'window' },
        from: { type: 'string', default: 'left' },
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
  if (!['face', 'back', 'both'].includes(values.side)) refuse(`--side ${values.side}: face, back or both`);
  // Its name until the lamp was told from the view.
  if (values.view === 'raking') values.view = 'low';
  if (values.view !== undefined && !['square', 'turned', 'low'].includes(values.view))
    refuse(`--view ${values.view}: square, turned or low`);
  const lights = ['window', 'spot', 'raking', 'overcast', 'behind', 'turning'];
  if (!lights.includes(values.light)) refuse(`--light ${values.light}: ${lights.join(', ')}`);
  if (!['left', 'right', 'above'].includes(values.from)) refuse(`--from ${values.from}: left, right or above`);
  const states = { loom: 'onLoom', off: 'offLoom', finished: 'finished' };
  if (!(values.state in states)) refuse(`--state ${values.state}: loom, off or finished`);
  const dpi = values.dpi === undefined ? undefined : Number(values.dpi);
  if (dpi !== undefined && !(dpi >= 1 && dpi <= 2400)) refuse(`--dpi ${values.dpi}: a number from 1 to 2400`);
  // At true size and with none named, the cloth itself gives the size.
  const asked = values.size ?? (dpi === undefined ? '900x700' : undefined);
  const size = asked === undefined ? [0, 0] : readSize(asked);
  const samples = Number(values.samples);
  const most = values.reference ? 4096 : 256;
  if (!Number.isInteger(samples) || samples < 1 || samples > most)
    refuse(`--samples ${values.samples}: a whole number from 1 to ${most}`);
  const drapeMm = values.drape === undefined ? undefined : Number(values.drape);
  if (drapeMm !== undefined) {
    if (!(drapeMm >= 1 && drapeMm <= 500)) refuse(`--drape ${values.drape}: a radius from 1 to 500 mm`);
    if (!values.reference) refuse('--drape goes with --reference: only the traced picture bends the cloth');
    if (values.side !== 'face') refuse(`--drape shows the face: leave --side ${values.side} out`);
    if (dpi !== undefined) refuse('--drape fits the cloth into --size: leave --dpi out');
  }
  if (values.curl) {
    if (!values.reference) refuse('--curl goes with --reference: only the traced picture bends the cloth');
    if (drapeMm !== undefined) refuse('--curl or --drape: one cloth is bent one way');
    if (values.side !== 'face')
      refuse(`--curl shows the side that the cloth rolls to: leave --side ${values.side} out`);
    if (dpi !== undefined) refuse('--curl fits the cloth into --size: leave --dpi out');
  }
  const zoom = Number(values.zoom);
  if (!(zoom >= 0.1 && zoom <= 200)) refuse(`--zoom ${values.zoom}: a number from 0.1 to 200`);
  const at = values.at.split(',').map(Number);
  if (at.length !== 2 || !at.every((share) => share >= 0 && share <= 1))
    refuse(`--at ${values.at}: two shares of the cloth, each from 0 to 1, such as 0.9,0.5`);
  const file = resolve(positionals[0]);
  if (!existsSync(file)) refuse(`${positionals[0]}: no such file`);
  const out = resolve(values.out);
  if (!existsSync(dirname(out))) refuse(`--out ${values.out}: its folder does not exist`);
  return {
    file,
    out,
    text: finishedAs(treated(readFileSync(file, 'utf8'), values.after), values.finish),
    options: {
      side: values.side,
      view: values.view,
      width: size[0],
      height: size[1],
      samples,
      reference: values.reference,
      zoom,
      at,
      dotsPerInch: dpi,
      ruler: values.ruler,
      state: states[values.state],
      light: values.light,
      rakingFrom: values.from,
      drapeMm,
      curl: values.curl,
    },
  };
}

/** The sample's text with another finish; what is wrong in it the program says. */
function finishedAs(text, treatment) {
  if (treatment === undefined) return text;
  try {
    return JSON.stringify({ ...JSON.parse(text), finish: { treatment } });
  } catch {
    return text;
  }
}

/** The sample's text with another list of treatments; what is wrong in it the program says. */
function treated(text, after) {
  if (after === undefined) return text;
  if (!existsSync(resolve(after))) refuse(`--after ${after}: no such file`);
  try {
    return JSON.stringify({ ...JSON.parse(text), afterLoom: JSON.parse(readFileSync(resolve(after), 'utf8')) });
  } catch (error) {
    return refuse(`--after ${after}: ${error.message}`);
  }
}

const job = readArguments();
const { openStillPage } = await import('./stillPage.mjs');
const session = await openStillPage((message) => console.error(`still: ${message}`));
let failure;
try {
  const [result] = await session.draw(job.text, [job.options]);
  writeFileSync(job.out, Buffer.from(result.pngBase64, 'base64'));
  const { drapedOverMm } = result;
  if (drapedOverMm > job.options.drapeMm + 0.05) {
    console.error(
      `still: too stiff or thick for ${job.options.drapeMm} mm: it bends over ${drapedOverMm.toFixed(1)} mm`,
    );
  }
  if (result.curled) console.error(`still: ${result.curled}`);
  console.log(JSON.stringify(result.readings, null, 2));
} catch (error) {
  failure = `${job.file}: ${error instanceof Error ? error.message : String(error)}`;
} finally {
  await session.close();
}
if (failure) refuse(failure);
process.exit(0);
