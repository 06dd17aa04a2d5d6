import * as THREE from 'three';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import { FACE_POSE } from '#render/eye.ts';
import { fitPose } from '#render/fitPose.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { PictureDrawer, withRenderer } from '#render/pictureDrawer.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import type { ScreenPass } from '#render/screenPass.ts';
import { type ClothFixture, clothFixture } from '#tests/helpers/clothFixtures.ts';
import { createTubeScene } from './tubes.ts';

/** Times pictures of 1080p (?width=&height=) of satins of 24², 400² and 2000² crossings (?sizes=24,400). */
const query = new URLSearchParams(location.search);
const WIDTH = Number(query.get('width') ?? 1920);
const HEIGHT = Number(query.get('height') ?? 1080);
const SIZES = (query.get('sizes') ?? '24,400,2000').split(',').map(Number);
const FRAMES = Number(query.get('frames') ?? 20);

const canvas = document.querySelector<HTMLCanvasElement>('#picture')!;
const renderer = new THREE.WebGLRenderer({ canvas });
renderer.setPixelRatio(1);
renderer.setSize(WIDTH, HEIGHT, false);
renderer.debug.onShaderError = (gl, program) => report({ shaderError: gl.getProgramInfoLog(program) });
const gl = renderer.getContext() as WebGL2RenderingContext;
const targets = new PictureTargets(WIDTH, HEIGHT, gl.getExtension('EXT_color_buffer_float') !== null);
const whole = { x: 0, y: 0, width: WIDTH, height: HEIGHT };
const pixel = new Uint8Array(4);

function report(value: unknown): void {
  document.querySelector('#result')!.textContent = JSON.stringify(value, null, 1);
}

/** Milliseconds a frame: many frames, then a read that waits for them all; the best of three. */
function time(draw: () => void): number {
  const finish = () => {
    renderer.setRenderTarget(targets.quick);
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.HALF_FLOAT, new Uint16Array(4));
    renderer.setRenderTarget(null);
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
  };
  draw();
  finish();
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 3; round++) {
    const begun = performance.now();
    for (let k = 0; k < FRAMES; k++) draw();
    finish();
    best = Math.min(best, (performance.now() - begun) / FRAMES);
  }
  return Math.round(best * 100) / 100;
}

function satin(size: number): ClothFixture {
  return clothFixture({
    ends: size,
    rows: size,
    warp: [{ widthMm: 0.8, heightMm: 0.65, colour: [0.05, 0.1, 0.3], plies: 2, turnsPerM: 400 }],
    weft: [{ widthMm: 0.9, heightMm: 0.7, colour: [0.7, 0.65, 0.55], plies: 2, turnsPerM: 350 }],
    warpUp: (row, end) => (end * 3 + row) % 8 === 0,
  });
}

function measureWalk(drawer: PictureDrawer, pose: ClothPose, walk: ScreenPass): number {
  const scene = { pose, light: NORTH_LIGHT, background: [0.3, 0.3, 0.3] as const, backLit: false };
  return withRenderer(renderer, () => {
    drawer.setScene(scene, WIDTH, HEIGHT, 1);
    let sample = 0;
    return time(() => drawer.drawTile(targets, walk, whole, sample++, targets.quick, targets.meanSoFar, 0.5));
  });
}

/** Cells crossed and candidates tried a pixel, on average. */
function countWork(counter: PictureDrawer, pose: ClothPose, walk: ScreenPass): { steps: number; candidates: number } {
  const scene = { pose, light: NORTH_LIGHT, background: [0.3, 0.3, 0.3] as const, backLit: false };
  const texels = new Uint8Array(WIDTH * HEIGHT * 4);
  withRenderer(renderer, () => {
    counter.setScene(scene, WIDTH, HEIGHT, 1);
    counter.drawBuffer(targets, walk, whole, 0);
  });
  renderer.readRenderTargetPixels(targets.buffer, 0, 0, WIDTH, HEIGHT, texels, undefined, 1);
  let steps = 0;
  let candidates = 0;
  for (let k = 0; k < texels.length; k += 4) {
    steps += texels[k] + 256 * texels[k + 1];
    candidates += texels[k + 2] + 256 * texels[k + 3];
  }
  const round = (sum: number) => Math.round((sum / (WIDTH * HEIGHT)) * 100) / 100;
  return { steps: round(steps), candidates: round(candidates) };
}

function measureTubes(cloth: ClothFixture, pose: ClothPose): number {
  const { scene, dispose } = createTubeScene(cloth);
  const camera = new THREE.OrthographicCamera();
  const [halfX, halfY] = [WIDTH / 2 / pose.pixelsPerMm, HEIGHT / 2 / pose.pixelsPerMm];
  Object.assign(camera, { left: -halfX, right: halfX, top: halfY, bottom: -halfY, near: 1, far: 1e4 });
  camera.updateProjectionMatrix();
  camera.position.z = 5e3;
  const mesh = scene.children[0];
  mesh.position.set(-pose.centreMm[0], -pose.centreMm[1], 0);
  renderer.setRenderTarget(null);
  const took = time(() => renderer.render(scene, camera));
  dispose();
  return took;
}

/** Fetches a candidate costs: thread, span (weft), two nodes; a step: a position, and a tile where it changes. */
const FETCHES_A_CANDIDATE = 3.5;
const FETCHES_A_STEP = 1.5;

async function measure(): Promise<void> {
  const debug = gl.getExtension('WEBGL_debug_renderer_info');
  const results: Record<string, unknown> = {
    machine: debug ? gl.getParameter(debug.UNMASKED_RENDERER_WEBGL) : 'unknown',
    picture: `${WIDTH} × ${HEIGHT}`,
  };
  const drawer = new PictureDrawer(renderer);
  const counter = new PictureDrawer(renderer, true);
  const compiling = performance.now();
  await drawer.programs.quickWalk.compile(renderer, targets.buffer);
  await drawer.programs.shade.compile(renderer, targets.quick);
  results.quickCompileMs = Math.round(performance.now() - compiling);
  const compilingFull = performance.now();
  await drawer.programs.fullWalk.compile(renderer, targets.buffer);
  results.fullCompileMs = Math.round(performance.now() - compilingFull);
  for (const size of SIZES) {
    const cloth = satin(size);
    const packing = performance.now();
    const packed = packCloth(cloth.problem, cloth.geometry, cloth.materials);
    const packMs = Math.round(performance.now() - packing);
    drawer.setCloth(packed);
    counter.setCloth(packed);
    const { quickWalk, fullWalk } = drawer.programs;
    const fitted = fitPose(packed.bounds, FACE_POSE, WIDTH, HEIGHT);
    // The cloth covers the whole picture.
    const face = { ...fitted, pixelsPerMm: (WIDTH / (size - 1)) * 1.02 };
    // Foreshortened to cos 80°, it must still reach from top to bottom.
    const pitchRad = (80 * Math.PI) / 180;
    const grazing = {
      ...face,
      pitchRad,
      pixelsPerMm: Math.max(face.pixelsPerMm, HEIGHT / (size - 1) / Math.cos(pitchRad)),
    };
    const near = { ...face, pixelsPerMm: Math.max(face.pixelsPerMm, 80) };
    const row: Record<string, unknown> = { packMs };
    for (const [name, pose] of Object.entries({ face, grazing, near })) {
      const moving = measureWalk(drawer, pose, quickWalk);
      const full = measureWalk(drawer, pose, fullWalk);
      const work = countWork(counter, pose, counter.programs.fullWalk);
      const fetches = Math.round(work.candidates * FETCHES_A_CANDIDATE + work.steps * FETCHES_A_STEP);
      row[name] = { movingMs: moving, fullMs: full, ...work, fetches };
      report(results);
    }
    results[`${size}²`] = row;
    row.tubesMs = query.has('notubes') ? null : measureTubes(cloth, face);
    report(results);
    await new Promise((resolve) => setTimeout(resolve, 0));
  }
  results.finished = true;
  report(results);
}

measure().catch((error: unknown) => report({ failed: String(error) }));
