import { colourDifference, type LinearRgb } from '#engine/colour/colour.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import { yarnOptics } from '#engine/yarn/yarnOptics.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import type { ClothView } from '#render/clothView.ts';
import type { ClothLight, ClothPose } from '#render/clothViewTypes.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { clothFixture } from './clothFixtures.ts';
import { pack } from './clothProbe.ts';

const WEAVES = {
  plain: (row: number, end: number) => ((row + end) & 1) === 0,
  twill: (row: number, end: number) => (end - row + 400) % 4 < 2,
  sateen: (row: number, end: number) => (end + 800 - 3 * row) % 8 === 0,
};
const YARNS = { matte: 'cotton-8-2', rayon: 'rayon-filament-300', film: 'metal-film-1-69' };
const POSES = { square: { yawRad: 0, pitchRad: 0 }, turned: { yawRad: 0.7, pitchRad: -0.35 } };
const LIGHTS = { window: NORTH_LIGHT, overcast: { ...NORTH_LIGHT, skyShare: 1 } };

export interface ReferenceScene {
  readonly weave: keyof typeof WEAVES;
  readonly yarn: keyof typeof YARNS;
  readonly pose: keyof typeof POSES;
  readonly light: keyof typeof LIGHTS;
}

/** Every weave in every yarn once, by turns square and turned and in either light, and three more. */
export const REFERENCE_SCENES: readonly ReferenceScene[] = [
  { weave: 'plain', yarn: 'matte', pose: 'square', light: 'window' },
  { weave: 'plain', yarn: 'rayon', pose: 'turned', light: 'window' },
  { weave: 'plain', yarn: 'film', pose: 'square', light: 'overcast' },
  { weave: 'twill', yarn: 'matte', pose: 'turned', light: 'overcast' },
  { weave: 'twill', yarn: 'rayon', pose: 'square', light: 'window' },
  { weave: 'twill', yarn: 'film', pose: 'turned', light: 'window' },
  { weave: 'sateen', yarn: 'matte', pose: 'turned', light: 'window' },
  { weave: 'sateen', yarn: 'rayon', pose: 'square', light: 'overcast' },
  { weave: 'sateen', yarn: 'film', pose: 'square', light: 'window' },
  { weave: 'plain', yarn: 'matte', pose: 'turned', light: 'overcast' },
  { weave: 'twill', yarn: 'matte', pose: 'square', light: 'window' },
  { weave: 'sateen', yarn: 'rayon', pose: 'turned', light: 'window' },
];

const WARP: LinearRgb = [0.55, 0.12, 0.08];
const WEFT: LinearRgb = [0.75, 0.68, 0.5];

/** Packed once for several scenes: tables of scattering take a while. */
export async function referenceCloth(scene: ReferenceScene) {
  const presets = await readAllYarnPresets();
  const optics = yarnOptics(presets.find(({ id }) => id === YARNS[scene.yarn])!);
  const film = scene.yarn === 'film';
  const round = { widthMm: 0.92, heightMm: film ? 0.3 : 0.7, plies: scene.yarn === 'matte' ? 2 : 1, turnsPerM: 150 };
  const flat = { widthMm: 0.92, heightMm: 0.12, strip: true };
  const yarn = film ? flat : round;
  const fixture = clothFixture({ ends: 24, rows: 24, warp: [yarn], weft: [yarn], warpUp: WEAVES[scene.weave] });
  const materials: YarnMaterial[] = [WARP, WEFT].map((coneColour) => ({ strands: [{ coneColour, optics }] }));
  return pack({ ...fixture, materials });
}

export function setReferenceScene(view: ClothView, scene: ReferenceScene): void {
  const pose: Partial<ClothPose> = {
    rollRad: 0,
    turnedOver: false,
    fieldOfViewRad: 0,
    centreMm: [11.5, 11.5],
    pixelsPerMm: 8,
    ...POSES[scene.pose],
  };
  const light: ClothLight = LIGHTS[scene.light];
  view.setView(pose);
  view.setLight(light);
}

export interface PictureDifference {
  readonly mean: number;
  readonly percentile95: number;
  /** Mean light of the picture over that of the reference, by channel. */
  readonly ratio: readonly number[];
  readonly pixels: number;
}

const linearOfByte = Float64Array.from({ length: 256 }, (_, byte) => {
  const code = byte / 255;
  return code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
});

/**
 * CIEDE2000 over cloth pixels between a picture (sRGB bytes, top row first) and a reference (linear, bottom row first),
 * both as a display shows them, 0..1.
 */
export function comparePictures(
  picture: Uint8ClampedArray,
  reference: Float32Array,
  kind: Uint8Array,
  width: number,
): PictureDifference {
  const height = kind.length / width;
  const sums = [0, 0, 0];
  const wanted = [0, 0, 0];
  const differences: number[] = [];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const p = y * width + x;
      if (kind[p] === 0) continue;
      const q = ((height - 1 - y) * width + x) * 4;
      const shown = [0, 1, 2].map((c) => linearOfByte[picture[q + c]]);
      const exact = [0, 1, 2].map((c) => Math.min(1, reference[p * 4 + c]));
      for (let c = 0; c < 3; c++) {
        sums[c] += shown[c];
        wanted[c] += exact[c];
      }
      differences.push(colourDifference(shown as unknown as LinearRgb, exact as unknown as LinearRgb));
    }
  }
  differences.sort((a, b) => a - b);
  return {
    mean: differences.reduce((sum, value) => sum + value, 0) / differences.length,
    percentile95: differences[Math.floor(0.95 * differences.length)],
    ratio: sums.map((sum, c) => sum / wanted[c]),
    pixels: differences.length,
  };
}
