import * as THREE from 'three';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { FACE_POSE } from '#render/eye.ts';
import { fitPose } from '#render/fitPose.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { PictureDrawer } from '#render/pictureDrawer.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import { type HairKind, hairyCloth } from './hairyCloth.ts';
import { openBench } from './openBench.ts';

/**
 * Where a frame of the picture goes on this machine's GPU: each pass by itself, ms, beside whole frames.
 * `?width=1920&height=1080&frames=20&side=24&kinds=smooth,fuzz,halo,pile,loops,net,strip,film&degrees=0,60`.
 */
const query = new URLSearchParams(location.search);
const width = Number(query.get('width') ?? 1920);
const height = Number(query.get('height') ?? 1080);
const frames = Number(query.get('frames') ?? 20);
const side = Number(query.get('side') ?? 24);
const kinds = (query.get('kinds') ?? 'smooth,fuzz,halo,pile,loops,net,strip,film').split(',') as HairKind[];
const degreesAll = (query.get('degrees') ?? '0,60').split(',').map(Number);
const { renderer, say } = openBench(width, height);
const drawer = new PictureDrawer(renderer);
const targets = new PictureTargets(width, height, true);
const whole = { x: 0, y: 0, width, height };
const programs = drawer.programs;
const u = programs.uniforms;
function finish(target: THREE.WebGLRenderTarget): void {
  const pixel = target.texture.type === THREE.HalfFloatType ? new Uint16Array(4) : new Uint8Array(4);
  renderer.readRenderTargetPixels(target, 0, 0, 1, 1, pixel);
}
function timeOf(target: THREE.WebGLRenderTarget, draw: (k: number) => void): number {
  draw(0);
  draw(1);
  finish(target);
  const begun = performance.now();
  for (let k = 0; k < frames; k++) draw(k);
  finish(target);
  return (performance.now() - begun) / frames;
}
for (const kind of kinds) {
  const cloth = await hairyCloth(side, kind);
  drawer.setCloth(packCloth(cloth.problem, cloth.geometry, cloth.materials));
  const packed = drawer.cloth as PackedCloth;
  for (const degrees of degreesAll) {
    const pitchRad = (degrees * Math.PI) / 180;
    const fitted = fitPose(packed.bounds, { ...FACE_POSE, fieldOfViewRad: 0, pitchRad }, width, height);
    const span = packed.bounds.max[0] - packed.bounds.min[0];
    const pose = { ...fitted, pixelsPerMm: Math.max(width / span, height / (span * Math.cos(pitchRad))) };
    const scene = { pose, light: NORTH_LIGHT, background: [0.2, 0.2, 0.2], backLit: false, fine: true } as const;
    drawer.setScene(scene, width, height, 1);
    const full = (k: number) => drawer.drawTile(targets, whole, k, true, targets.meanToBe, targets.meanSoFar, 0.5);
    const moving = (k: number) => drawer.drawTile(targets, whole, k, false, targets.quick, null, 0);
    // A GPU that has idled while programs were compiled runs slow at first.
    for (let turn = 0; turn < 2; turn++) timeOf(targets.meanToBe, full);
    const t = { full: timeOf(targets.meanToBe, full), moving: timeOf(targets.quick, moving) };
    const walkOnly = (k: number) => {
      drawer.buffer.setSample(k);
      for (const name of ['uId', 'uDepth', 'uNormal', 'uAxis', 'uLight']) u[name].value = null;
      drawer.buffer.drawThreads(targets);
    };
    const buffer = (k: number) => drawer.buffer.draw(targets, whole, k);
    const toLight = drawer.lightPass();
    const light = (k: number) => {
      drawer.buffer.setSample(k);
      u.uLight.value = null;
      toLight.draw(renderer, targets.light);
    };
    const shade = (lit: boolean) => (k: number) => {
      drawer.buffer.setSample(k);
      u.uLight.value = targets.light.texture;
      u.uLit.value = lit ? 1 : 0;
      u.uHistory.value = targets.meanSoFar.texture;
      u.uHistoryWeight.value = lit ? 0.5 : 0;
      programs.shade.draw(renderer, targets.meanToBe);
    };
    const w = timeOf(targets.buffer, walkOnly);
    const b = timeOf(targets.buffer, buffer);
    full(1);
    const l = timeOf(targets.light, light);
    const s = timeOf(targets.meanToBe, shade(true));
    const q = timeOf(targets.meanToBe, shade(false));
    say(
      `${kind} ${degrees}°: full ${t.full.toFixed(2)} moving ${t.moving.toFixed(2)} | walk ${w.toFixed(2)} hair ${(b - w).toFixed(2)} light ${l.toFixed(2)} shade lit ${s.toFixed(2)} unlit ${q.toFixed(2)}`,
    );
    drawer.release(scene);
  }
}
say('done');
