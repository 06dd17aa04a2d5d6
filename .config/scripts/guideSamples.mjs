// The harbour's samples as the guide shows them: each from both sides, some near.
import { readdirSync } from 'node:fs';
import { near } from './guideGround.mjs';
import { root } from './prepare.mjs';
import { readPreset } from './sheetSample.mjs';

const whole = { ...near, width: 720, height: 560 };
const close = { ...near, view: 'low', width: 720, height: 480 };
const washed = { ...near, state: 'finished', width: 560, height: 440 };
/** Traced path by path. */
const bent = { side: 'face', light: 'window', width: 480, height: 340, samples: 256, reference: true };

const woven = (name, more = {}) => ({ ...readPreset(`samples/${name}`), ...more, versions: [] });
const machine = { finish: { treatment: 'machineWashed' } };

const NEAR = {
  'channel-buoy': { light: 'raking', zoom: 3.2, at: [0.5, 0.42] },
  'boat-paint': { zoom: 4.5, at: [0.5, 0.42] },
  kelp: { zoom: 6, at: [0.5, 0.4] },
  'mooring-ring': { zoom: 4, at: [0.5, 0.3] },
  'signal-gamp': { zoom: 3, at: [0.6, 0.35] },
  'tarred-rope': { zoom: 5, at: [0.5, 0.4] },
};

function both(name) {
  return [
    [name, [{ sample: woven(name), view: { ...whole, side: 'face' } }]],
    [`${name}-back`, [{ sample: woven(name), view: { ...whole, side: 'back' } }]],
  ];
}

const names = readdirSync(`${root}presets/samples`).map((file) => file.replace(/\.json$/, ''));

/** By file, as `SCENES` of guideScenes.mjs. */
export const SAMPLE_SCENES = Object.fromEntries([
  ...names.flatMap(both),
  ...Object.entries(NEAR).map(([name, view]) => [
    `${name}-near`,
    [{ sample: woven(name), view: { ...close, ...view } }],
  ]),
  [
    'net-store-towel-washed',
    [{ sample: woven('net-store-towel', machine), view: { ...washed, mmPerPx: 0.035, at: [0.5, 0.4] } }],
  ],
  [
    'net-store-towel-low',
    [{ sample: woven('net-store-towel', machine), view: { ...washed, view: 'low', zoom: 4, at: [0.5, 0.85] } }],
  ],
  [
    'cobbles-large-washed',
    [{ sample: woven('cobbles-large', machine), view: { ...washed, view: 'turned', light: 'raking' } }],
  ],
  ['boat-paint-curled', [{ sample: woven('boat-paint'), view: { ...bent, state: 'offLoom', curl: true } }]],
  ['mooring-ring-draped', [{ sample: woven('mooring-ring'), view: { ...bent, state: 'offLoom', drapeMm: 40 } }]],
]);
