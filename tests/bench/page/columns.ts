import * as THREE from 'three';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { FACE_POSE } from '#render/eye.ts';
import { fitPose } from '#render/fitPose.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { PictureDrawer } from '#render/pictureDrawer.ts';
import type { PictureScene } from '#render/pictureScene.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { type HairKind, hairyCloth } from './hairyCloth.ts';
import { openBench } from './openBench.ts';

/**
 * Rays to the light through columns and walked, side by side: ms a full frame, and how far the means differ.
 * `?width=160&height=120&samples=64&side=6&kinds=sateen,smooth,fuzz&frames=0&degrees=0,60`.
 */
const query = new URLSearchParams(location.search);
const width = Number(query.get('width') ?? 1920);
const height = Number(query.get('height') ?? 1080);
const samples = Number(query.get('samples') ?? 64);
const side = Number(query.get('side') ?? 24);
const frames = Number(query.get('frames') ?? 12);
const kinds = (query.get('kinds') ?? 'sateen,smooth,fuzz,halo,pile,loops').split(',');
const { renderer, say } = openBench(width, height);
const drawer = new PictureDrawer(renderer);
const targets = new PictureTargets(width, height, true);
const whole = { x: 0, y: 0, width, height };

function finish(): void {
  renderer.readRenderTargetPixels(targets.meanSoFar, 0, 0, 1, 1, new Uint16Array(4));
}

function timeOf(scene: PictureScene): number {
  const draw = (k: number) => {
    drawer.setScene(scene, width, height, 1);
    drawer.drawTile(targets, whole, k, true, targets.meanToBe, targets.meanSoFar, 0.5);
    targets.swap();
  };
  for (let k = 0; k < 3; k++) draw(k);
  finish();
  const begun = performance.now();
  for (let k = 0; k < frames; k++) draw(k);
  finish();
  return (performance.now() - begun) / frames;
}

function mean(scene: PictureScene, from: number, count: number): Float32Array {
  for (let k = 0; k < count; k++) {
    drawer.setScene(scene, width, height, 1);
    drawer.drawTile(targets, whole, from + k, true, targets.meanToBe, targets.meanSoFar, k / (k + 1));
    targets.swap();
  }
  const halves = new Uint16Array(width * height * 4);
  renderer.readRenderTargetPixels(targets.meanSoFar, 0, 0, width, height, halves);
  return Float32Array.from(halves, THREE.DataUtils.fromHalfFloat);
}

function paint(pixels: Float32Array): void {
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const image = new ImageData(width, height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      for (let c = 0; c < 4; c++) {
        const v = pixels[((height - 1 - y) * width + x) * 4 + c];
        image.data[(y * width + x) * 4 + c] = c === 3 ? 255 : 255 * Math.min(1, Math.max(0, v)) ** (1 / 2.2);
      }
  canvas.getContext('2d')?.putImageData(image, 0, 0);
  document.body.append(canvas);
}

function compare(a: Float32Array, b: Float32Array): string {
  let sumA = 0;
  let sumB = 0;
  let square = 0;
  for (let k = 0; k < a.length; k++) {
    if (k % 4 === 3) continue;
    sumA += a[k];
    sumB += b[k];
    square += (a[k] - b[k]) ** 2;
  }
  const n = (a.length * 3) / 4;
  return `mean ${(sumB / sumA).toFixed(4)}, rms ${(Math.sqrt(square / n) / (sumA / n)).toFixed(4)}`;
}

for (const kind of kinds) {
  const cloth =
    kind === 'sateen'
      ? clothFixture({
          ends: side,
          rows: side,
          warp: [{ widthMm: 0.8, heightMm: 0.7 }],
          weft: [{ widthMm: 0.8, heightMm: 0.7, plies: 2, turnsPerM: 250 }],
          warpUp: (row, end) => (end + 8 * side - 3 * row) % 8 === 0,
        })
      : await hairyCloth(side, kind as HairKind);
  drawer.setCloth(packCloth(cloth.problem, cloth.geometry, cloth.materials));
  const packed = drawer.cloth as PackedCloth;
  for (const degrees of (query.get('degrees') ?? '0,60').split(',').map(Number)) {
    const pitchRad = (degrees * Math.PI) / 180;
    const fitted = fitPose(packed.bounds, { ...FACE_POSE, fieldOfViewRad: 0, pitchRad }, width, height);
    const span = packed.bounds.max[0] - packed.bounds.min[0];
    const pose = { ...fitted, pixelsPerMm: Math.max(width / span, height / (span * Math.cos(pitchRad))) };
    const scene = { pose, light: NORTH_LIGHT, background: [0.2, 0.2, 0.2], backLit: false, fine: true } as const;
    const walked = { ...scene, walkLight: true };
    const times = [walked, scene].map(timeOf);
    let compared = '';
    if (samples > 0) {
      const reference = mean(walked, 0, samples);
      const columns = mean(scene, 0, samples);
      if (query.has('paint')) [reference, columns].forEach(paint);
      compared = compare(reference, columns);
    }
    say(`${kind} ${degrees}°  walked ${times[0].toFixed(2)}, columns ${times[1].toFixed(2)};  ${compared}`);
  }
}
say('done');
