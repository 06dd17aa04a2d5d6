import * as THREE from 'three';
import { HAIR_STEPS, ID_INDEX_BITS, ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { ClothLight, ClothPose } from '#render/clothViewTypes.ts';
import { FACE_POSE } from '#render/eye.ts';
import { LIGHTS, type LightName } from '#render/lights.ts';
import { PathTracer } from '#render/pathTracer.ts';
import { PictureDrawer } from '#render/pictureDrawer.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import { withRenderer } from '#render/renderer.ts';
import { shelfCloth } from '#tests/helpers/yarnScenes.ts';
import { openBench } from './openBench.ts';

/**
 * The light of yarns of the shelf as the picture has it, over what the reference traces: red, green and blue of all, and of the
 * pixels whose middle shows the warp, the weft's body and the weft's hair, with their share of the picture and the traced green.
 * `?ids=cotton-chenille-1.7,mohair-brushed&degrees=0,50&size=192&pixelsPerMm=24&samples=64&paths=256&bench=0&sky=0.34,0,1&bounces=24
 * &warps=0.1_0.2_0.5&lights=window,raking`: `sky`, the room's share of the light, as each light has it by default; `bounces`, of the
 * traced light's paths; `warps`, linear colours.
 */
const query = new URLSearchParams(location.search);
const ids = (query.get('ids') ?? 'cotton-8-2,cotton-chenille-1.7,viscose-chenille-1450,mohair-brushed').split(',');
const degreesAll = (query.get('degrees') ?? '0,50').split(',').map(Number);
const size = Number(query.get('size') ?? 192);
const pixelsPerMm = Number(query.get('pixelsPerMm') ?? 24);
const samples = Number(query.get('samples') ?? 64);
const paths = Number(query.get('paths') ?? 256);
const skyShares = query.get('sky')?.split(',').map(Number);
const lights = (query.get('lights') ?? 'window').split(',') as LightName[];
const warps = (query.get('warps') ?? '0.1_0.2_0.5').split(',').map((warp) => warp.split('_').map(Number));
const mostBounces = Number(query.get('bounces') ?? 24);
const bench = Number(query.get('bench') ?? 0);
const { renderer, say } = openBench(size, size);
const drawer = new PictureDrawer(renderer);
const tile = { x: 0, y: 0, width: size, height: size };
const CLASSES = ['all', 'warp', 'weft', 'hair'] as const;

/** Of each pixel's middle: its place in CLASSES, 0 where nothing is met. */
function classesOf(targets: PictureTargets): Uint8Array {
  drawer.buffer.draw(targets, tile, 0, true);
  const read = (index: number) => {
    const out = new Uint8Array(size * size * 4);
    renderer.readRenderTargetPixels(targets.buffer, 0, 0, size, size, out, undefined, index);
    return out;
  };
  const [id, axis] = [read(0), read(3)];
  return Uint8Array.from({ length: size * size }, (_, k) => {
    const kind = id[4 * k + 2] >> (ID_INDEX_BITS - 16);
    if (kind === 0) return 0;
    // Hair says how high it was met, a body how full it is there (encode.glsl).
    return axis[4 * k + 3] <= HAIR_STEPS ? 3 : kind === ThreadKind.warp ? 1 : 2;
  });
}

function drawn(targets: PictureTargets): Float32Array {
  const half = new Uint16Array(size * size * 4);
  for (let k = 0; k < samples; k++) {
    const history = k === 0 ? null : targets.meanSoFar;
    drawer.drawTile(targets, tile, k, true, targets.meanToBe, history, k / (k + 1));
    targets.swap();
  }
  renderer.readRenderTargetPixels(targets.meanSoFar, 0, 0, size, size, half);
  return Float32Array.from(half, THREE.DataUtils.fromHalfFloat);
}

function ratios(picture: Float32Array, reference: Float32Array, classes: Uint8Array): string {
  return CLASSES.map((name, which) => {
    const sums = [0, 0, 0, 0, 0, 0];
    let count = 0;
    for (let k = 0; k < classes.length; k++) {
      if (which > 0 && classes[k] !== which) continue;
      count++;
      for (let c = 0; c < 3; c++) {
        sums[c] += picture[4 * k + c];
        sums[3 + c] += reference[4 * k + c];
      }
    }
    if (count === 0) return '';
    const over = [0, 1, 2].map((c) => (sums[c] / sums[3 + c]).toFixed(3));
    return `${name} ${(count / classes.length).toFixed(2)}: ${over.join(' ')} (${(sums[4] / count).toFixed(4)})`;
  }).join(' | ');
}

async function compare(what: string, pose: ClothPose, light: ClothLight): Promise<void> {
  const background = [bench, bench, bench] as const;
  const scene = { pose, light, background, backLit: false, fine: true };
  const targets = new PictureTargets(size, size, true);
  const [classes, picture] = withRenderer(renderer, () => {
    drawer.setScene(scene, size, size, 1);
    return [classesOf(targets), drawn(targets)] as const;
  });
  drawer.release(scene);
  targets.dispose();
  const frame = { pictureWidth: size, pictureHeight: size, x: 0, y: 0, width: size, height: size };
  const tracer = new PathTracer(drawer, scene, frame, { mostBounces });
  await tracer.run(paths);
  const reference = await tracer.readLinear();
  tracer.dispose();
  say(`${what}, room ${light.skyShare}: ${ratios(picture, reference, classes)}`);
}

for (const id of ids) {
  for (const warp of warps) {
    const [red, green, blue] = warp;
    const { cloth, middleMm } = await shelfCloth(id, 120, 1, [red, green, blue]);
    drawer.setCloth(cloth);
    for (const degrees of degreesAll) {
      const pitchRad = (degrees * Math.PI) / 180;
      const pose = { ...FACE_POSE, fieldOfViewRad: 0, centreMm: middleMm, pixelsPerMm, pitchRad };
      for (const name of lights) {
        const { light } = LIGHTS[name];
        for (const skyShare of skyShares ?? [light.skyShare]) {
          await compare(`${id} on ${warp} ${degrees}° ${name}`, pose, { ...light, skyShare });
        }
      }
    }
  }
}
say('done');
