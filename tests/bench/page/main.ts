import * as THREE from 'three';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import { FACE_POSE } from '#render/eye.ts';
import { fitPose } from '#render/fitPose.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { MovingScale } from '#render/movingScale.ts';
import { PathTracer } from '#render/pathTracer.ts';
import { PictureDrawer } from '#render/pictureDrawer.ts';
import type { PictureScene } from '#render/pictureScene.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import { type ClothFixture, clothFixture } from '#tests/helpers/clothFixtures.ts';
import { measureCompiling } from './compileTimes.ts';
import { measureFirstPaint } from './firstPaint.ts';
import { type HairKind, hairyCloth, isHairKind } from './hairyCloth.ts';
import { instancedTubes } from './instancedTubes.ts';

/**
 * Frame times of the picture on this machine's GPU: 1080p, one full sample a pixel (thread, and for every other pixel a ray to the light),
 * one moving sample, and the same threads as instanced tubes, in one run. `?width=192&height=108&sides=24` for a trial;
 * `?hair=smooth,fuzz,halo,pile,loops,net,strip,film` cloths with hair near by; `?first` the page's first paint and each program's time to compile, `?compile` the latter alone; `?sides=` no frames.
 * Times mean something only where the renderer named is a GPU.
 */
const query = new URLSearchParams(location.search);
const width = Number(query.get('width') ?? 1920);
const height = Number(query.get('height') ?? 1080);
const sides = (query.get('sides') ?? '24,400,2000').split(',').filter(Boolean).map(Number);
const frames = Number(query.get('frames') ?? 12);
const result = document.getElementById('result') as HTMLElement;
const lines: string[] = [];

/** Fetches of a candidate (its thread, two nodes, two lines or spans), of a step, and of the shading around them. */
const FETCHES = { candidate: 5, step: 1, shading: 12 };

function say(line: string): void {
  lines.push(line);
  result.textContent = lines.join('\n');
}

/** 8-end sateen, every crossing distinct, threads a little apart. */
function sateen(side: number): ClothFixture {
  return clothFixture({
    ends: side,
    rows: side,
    warp: [{ widthMm: 0.8, heightMm: 0.7 }],
    weft: [{ widthMm: 0.8, heightMm: 0.7, plies: 2, turnsPerM: 250 }],
    warpUp: (row, end) => (end + 8 * side - 3 * row) % 8 === 0,
  });
}

const renderer = new THREE.WebGLRenderer({ canvas: document.createElement('canvas'), antialias: false });
renderer.setSize(width, height, false);
renderer.autoClear = false;
const gl = renderer.getContext() as WebGL2RenderingContext;
const info = gl.getExtension('WEBGL_debug_renderer_info');
say(`renderer: ${gl.getParameter(info ? info.UNMASKED_RENDERER_WEBGL : gl.RENDERER)}`);
say(`${width} × ${height}, mean of ${frames} frames, ms`);

/** Reading a pixel back is what waits for the GPU; finish() need not. */
function finish(target: THREE.WebGLRenderTarget): void {
  const pixel = target.texture.type === THREE.HalfFloatType ? new Uint16Array(4) : new Uint8Array(4);
  renderer.readRenderTargetPixels(target, 0, 0, 1, 1, pixel);
}

/** Milliseconds a frame of `draw`, after one that is not counted. */
function timeOf(draw: (frame: number) => void, target: THREE.WebGLRenderTarget, count = frames): number {
  draw(0);
  finish(target);
  const begun = performance.now();
  for (let frame = 1; frame <= count; frame++) draw(frame);
  finish(target);
  return (performance.now() - begun) / count;
}

function sceneOf(pose: ClothPose): PictureScene {
  return { pose, light: NORTH_LIGHT, background: [0.2, 0.2, 0.2], backLit: false };
}

const drawer = new PictureDrawer(renderer);
const counter = new PictureDrawer(renderer, true);
const targets = new PictureTargets(width, height, true);
const tubesTarget = new THREE.WebGLRenderTarget(width, height, { depthBuffer: true });
const whole = { x: 0, y: 0, width, height };

/** A moving picture with as many pixels as the page would give it after these times at full size. */
function movingAsShown(scene: PictureScene, fullSizeMs: number): string {
  const moving = new MovingScale();
  moving.learn({ pixels: width * height, elapsedMs: fullSizeMs, gpuMs: fullSizeMs }, width * height);
  let shown = '';
  // The page learns on from the fewer pixels' own times.
  for (let turn = 0; turn < 8; turn++) {
    const w = Math.round(width * moving.scale);
    const h = Math.round(height * moving.scale);
    const few = new PictureTargets(w, h, true);
    const tile = { x: 0, y: 0, width: w, height: h };
    const ms = timeOf((frame) => {
      drawer.setScene(scene, w, h, moving.scale);
      drawer.drawTile(few, tile, frame, false, few.quick, null, 0);
    }, few.quick);
    few.dispose();
    moving.learn({ pixels: w * h, elapsedMs: ms, gpuMs: ms }, width * height);
    shown = `${ms.toFixed(2)} at ${w} × ${h}`;
  }
  drawer.release(scene);
  return shown;
}

/** Steps and candidates a pixel of the rays from the eye and to the light. */
function walkWork(): { steps: number; candidates: number } {
  counter.drawTile(targets, whole, 0, true, targets.meanToBe, null, 0);
  const bytes = new Uint8Array(width * height * 4);
  const work = { steps: 0, candidates: 0 };
  for (const [target, texture] of [
    [targets.buffer, 1],
    [targets.light, 0],
  ] as const) {
    renderer.readRenderTargetPixels(target, 0, 0, width, height, bytes, undefined, texture);
    for (let k = 0; k < bytes.length; k += 4) {
      work.steps += (bytes[k] + 256 * bytes[k + 1]) / (width * height);
      work.candidates += (bytes[k + 2] + 256 * bytes[k + 3]) / (width * height);
    }
  }
  return work;
}

/** Orthographic clip matrix of a pose, for the tubes. */
function clipOf(out: THREE.Matrix4, pose: ClothPose): void {
  const halfWidth = width / 2 / pose.pixelsPerMm;
  const halfHeight = height / 2 / pose.pixelsPerMm;
  const turn = new THREE.Matrix4().makeRotationX(-pose.pitchRad);
  const move = new THREE.Matrix4().makeTranslation(-pose.centreMm[0], -pose.centreMm[1], 0);
  out.makeOrthographic(-halfWidth, halfWidth, halfHeight, -halfHeight, -1e4, 1e4).multiply(turn).multiply(move);
}

/** Square-on, or turned, and near enough that every pixel has cloth. */
function coveringPose(packed: PackedCloth, degrees: number): ClothPose {
  const turned: ClothPose = { ...FACE_POSE, fieldOfViewRad: 0, pitchRad: (degrees * Math.PI) / 180 };
  const fitted = fitPose(packed.bounds, turned, width, height);
  const span = packed.bounds.max[0] - packed.bounds.min[0];
  return { ...fitted, pixelsPerMm: Math.max(width / span, height / (span * Math.cos(turned.pitchRad))) };
}

/**
 * The path-traced reference (`?reference`, or `?reference=256` for so many samples, on a page that stays open): ms a
 * sample, waiting between tiles included.
 */
async function measureReference(side: number, packed: PackedCloth): Promise<void> {
  const samples = Number(query.get('reference')) || 64;
  const scene = sceneOf(coveringPose(packed, 0));
  const frame = { pictureWidth: width, pictureHeight: height, x: 0, y: 0, width, height };
  const tracer = new PathTracer(drawer, scene, frame);
  // Compiles, and finds out how much to ask for at a time.
  const FIRST = 4;
  await tracer.run(FIRST);
  const begun = performance.now();
  await tracer.run(FIRST + samples);
  const took = performance.now() - begun;
  say(
    `${side}²  reference ${(took / samples).toFixed(1)} a sample (${samples} samples in ${(took / 1000).toFixed(1)} s)`,
  );
  tracer.dispose();
}

/** The whole cloth with what it is from afar at hand, preparation of each frame included. */
function measureFar(side: number, packed: PackedCloth): void {
  const begun = performance.now();
  const far = buildFar(packed);
  const built = performance.now() - begun;
  drawer.setFar(packed, far);
  for (const degrees of [0, 80]) {
    const scene = sceneOf(coveringPose(packed, degrees));
    const draw = (lit: boolean, into: THREE.WebGLRenderTarget) => (frame: number) => {
      drawer.setScene(scene, width, height, 1);
      drawer.drawTile(targets, whole, frame, lit, into, lit ? targets.meanSoFar : null, 0.5);
    };
    // A GPU that has idled while the far picture was built runs slow at first.
    timeOf(draw(true, targets.meanToBe), targets.meanToBe, 30);
    const full = timeOf(draw(true, targets.meanToBe), targets.meanToBe);
    const moving = timeOf(draw(false, targets.quick), targets.quick);
    say(
      `${side}²  ${degrees}°  with the far picture: full ${full.toFixed(2)}  moving ${moving.toFixed(2)}, as shown ${movingAsShown(scene, moving)}  ` +
        `(${far.classes} kinds of crossings, built in ${built.toFixed(0)})`,
    );
  }
}

/** Hair near by: close enough that a thread is some 80 pixels wide. */
async function measureHair(kind: HairKind): Promise<void> {
  const cloth = await hairyCloth(24, kind);
  drawer.setCloth(packCloth(cloth.problem, cloth.geometry, cloth.materials));
  for (const degrees of [0, 60]) {
    const pose = coveringPose(drawer.cloth as PackedCloth, degrees);
    const scene = sceneOf(pose);
    const times = [true, false].map((lit) => {
      const into = lit ? targets.meanToBe : targets.quick;
      // What is kept for a scene is kept for this very one.
      const some = { ...scene, fine: lit };
      const draw = (frame: number) => {
        drawer.setScene(some, width, height, 1);
        drawer.drawTile(targets, whole, frame, lit, into, lit ? targets.meanSoFar : null, 0.5);
      };
      // A GPU that has idled while programs were compiled runs slow at first.
      timeOf(draw, into, 30);
      const took = timeOf(draw, into);
      drawer.release(some);
      return took;
    });
    say(
      `${kind}  ${degrees}°  full ${times[0].toFixed(2)}  moving ${times[1].toFixed(2)}, as shown ${movingAsShown(scene, times[1])}`,
    );
  }
}

async function measure(side: number): Promise<void> {
  const cloth = sateen(side);
  const packed = packCloth(cloth.problem, cloth.geometry, cloth.materials);
  drawer.setCloth(packed);
  counter.setCloth(packed);
  const tubes = side <= 1000 || query.has('tubes') || width >= 1920 ? instancedTubes(cloth) : undefined;
  for (const degrees of [0, 80]) {
    const pose = coveringPose(packed, degrees);
    const scene = sceneOf(pose);
    drawer.setScene(scene, width, height, 1);
    counter.setScene({ ...scene, walkLight: true }, width, height, 1);
    const full = timeOf(
      (frame) => drawer.drawTile(targets, whole, frame, true, targets.meanToBe, targets.meanSoFar, 0.5),
      targets.meanToBe,
    );
    const moving = timeOf(
      (frame) => drawer.drawTile(targets, whole, frame, false, targets.quick, null, 0),
      targets.quick,
    );
    drawer.release(scene);
    const work = walkWork();
    const fetches = FETCHES.candidate * work.candidates + FETCHES.step * work.steps + FETCHES.shading;
    let tubesMs = Number.NaN;
    if (tubes) {
      clipOf(tubes.toClip, pose);
      const camera = new THREE.Camera();
      tubesMs = timeOf(
        () => {
          renderer.setRenderTarget(tubesTarget);
          renderer.clear();
          renderer.render(tubes.scene, camera);
        },
        tubesTarget,
        side > 1000 ? 2 : frames,
      );
    }
    say(
      `${side}²  ${degrees}°  full ${full.toFixed(2)}  moving ${moving.toFixed(2)}, as shown ${movingAsShown(sceneOf(pose), moving)}  tubes ${tubesMs.toFixed(2)}  ` +
        `steps/px ${work.steps.toFixed(2)}  candidates/px ${work.candidates.toFixed(2)}  fetches/px ${fetches.toFixed(0)}`,
    );
  }
  measureFar(side, packed);
  if (query.has('reference') && side <= 400) await measureReference(side, packed);
  tubes?.dispose();
}

// A page counts as loaded, and is read, only once this frame's document is closed: the reference takes its time.
const holding = document.createElement('iframe');
document.body.append(holding);
holding.contentDocument?.open();
try {
  const first = query.get('first');
  if (first !== null) await measureFirstPaint(first, say);
  if (first !== null || query.has('compile')) await measureCompiling(gl, say);
  for (const side of sides) await measure(side);
  for (const kind of (query.get('hair') ?? '').split(',')) if (isHairKind(kind)) await measureHair(kind);
  say('done');
} catch (error) {
  say(`failed: ${error instanceof Error ? error.stack : String(error)}`);
}
holding.contentDocument?.close();
holding.remove();
