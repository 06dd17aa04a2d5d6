import { afterAll, describe, expect, test } from 'vitest';
import { ID_INDEX_BITS, MOST_HAIR_SECTORS, TABLE_WIDTH } from '#engine/packing/clothBufferLayout.ts';
import { hairThreads } from '#engine/packing/hairThreads.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { ClothPose } from '#render/clothViewTypes.ts';
import { createEye, FACE_POSE, placeEye } from '#render/eye.ts';
import { fitPose } from '#render/fitPose.ts';
import { hairDraws } from '#render/hairWindow.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import { withRenderer } from '#render/renderer.ts';
import { wholeNumberTarget } from '#render/wholeNumberTarget.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { pack } from '#tests/helpers/clothProbe.ts';
import { LinearProbe } from '#tests/helpers/farScenes.ts';
import {
  bowed,
  chenille,
  flatWefts,
  frayed,
  fringed,
  fuzz,
  loops,
  pile,
  wanderingThreads,
  withHair,
  wraps,
} from '#tests/helpers/hairScenes.ts';
import { ALL_ROUND } from '#tests/helpers/walkAgreement.ts';

const SIZE = 128;
/** Of a hair's swell byte, as shaders/common/encode.glsl writes it: what stands off a body is below. */
const LEAST_BODY = 16;
/**
 * Rays look at a hair beside one stretch of its thread at a time, with the thread's section in the middle of it; drawn, it
 * keeps the section at its root. Most pixels show the same thread all the same.
 */
const SAME_THREAD_SHARE = 0.95;
/**
 * Of the pixels that show hair, by how much drawn and walked ones may differ in number: a drawn hair covers what its whole
 * width is before, a walked one what its round front is before, which tells where hairs lie on bodies.
 */
const HAIR_SHARE = 0.1;
/** With hairs that stand in for others, over samples of another choice each: chance of some hundred hairs a sample. */
const STANDING_IN_SHARE = 0.05;
/** Each cell holds its hair by chance, about half of those on the side that has them: three deviations of some 500. */
const BY_CHANCE = 0.1;

const POSES = {
  ...ALL_ROUND,
  'steep, 60 degrees': { pitchRad: Math.PI / 3, rollRad: 0.3 },
};

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });
const plain = clothFixture({ ends: 7, rows: 7, warp: [round(0.6)], weft: [{ widthMm: 0.7, heightMm: 0.5 }] });

const SCENES = [
  { name: 'fuzz on every yarn', cloth: withHair(plain, fuzz({ perMm: 8, diameterMm: 0.08 })) },
  { name: 'fuzz raised on one side', cloth: withHair(plain, fuzz({ perMm: 8, diameterMm: 0.08, onFace: 0.7 })) },
  { name: 'hair that bows', cloth: withHair(plain, bowed()) },
  { name: 'ridges of pile on the weft', cloth: withHair(plain, pile({ ridgesPerMm: -0.6 }), 'weft') },
  { name: 'loops on wandering ends', cloth: withHair(wanderingThreads, loops(), 'warp') },
  { name: 'wraps of a core', cloth: withHair(plain, wraps(), 'weft') },
  { name: 'frayed edges of flat wefts', cloth: withHair(flatWefts, frayed(), 'weft') },
  { name: 'chenille, of whose pile only what shows is drawn', cloth: withHair(plain, chenille(), 'weft') },
  { name: 'a fringe of pile', cloth: withHair(fringed, pile(), 'weft') },
];

describe('hair drawn as curves is the hair that rays meet', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  test.each(SCENES)('$name', ({ cloth }) => {
    const packed = pack(cloth);
    // Without kinds of crossings, which would stand in for threads seen aslant.
    probe.drawer.setCloth(packed);
    for (const [poseName, turn] of Object.entries(POSES)) {
      const pose = fitted(packed, turn, SIZE);
      const walked = buffersOf(probe, pose, SIZE, true, 0);
      const drawn = buffersOf(probe, pose, SIZE, false, 0);
      expect(probe.errors).toEqual([]);
      let same = 0;
      for (let p = 0; p < SIZE * SIZE; p++) if (walked.id[p] === drawn.id[p]) same++;
      expect(walked.hairs, `${poseName}: pixels that show hair`).toBeGreaterThan(300);
      expect(same / SIZE ** 2, `${poseName}: share on the same thread`).toBeGreaterThan(SAME_THREAD_SHARE);
      expect(Math.abs(drawn.hairs / walked.hairs - 1), `${poseName}: pixels that show hair`).toBeLessThan(HAIR_SHARE);
    }
  });

  // So that both ways to draw them are held to the rays above.
  test('hairs that hardly bend are drawn in one rectangle each, or by the depth of each pixel where they are few pixels high', () => {
    const whole = { x: 0, y: 0, width: SIZE, height: SIZE };
    const drawnAll = (way: 'whole' | 'deep') => {
      const all = SCENES.filter(({ cloth }) => {
        const packed = pack(cloth);
        const eye = createEye();
        placeEye(eye, fitted(packed, {}, SIZE), SIZE, 1);
        const draws = hairDraws(packed, hairThreads(packed), eye, SIZE, SIZE, whole, 0);
        return draws.every((draw) => draw[way] && !draw.group.strand);
      });
      return all.map(({ name }) => name);
    };
    expect(drawnAll('whole')).toEqual(['ridges of pile on the weft']);
    expect(drawnAll('deep')).toEqual(['chenille, of whose pile only what shows is drawn', 'a fringe of pile']);
  });

  test('a ring of as many cells as there may be has no more hairs than its yarn, and none twice', () => {
    const size = 96;
    const perMm = 20;
    const [ends, apartMm] = [4, 2];
    const apart = clothFixture({
      ends,
      rows: 4,
      warp: [round(0.1)],
      weft: [round(0.1)],
      endX: (end) => apartMm * end,
      rowY: (row) => apartMm * row,
    });
    const upright = fuzz({ perMm, meanLengthMm: 1.2, longestMm: 1.5, diameterMm: 0.1, leanMeanRad: 0.01, onFace: 1 });
    // Without its tails, which are drawn apart from it.
    const packed = { ...pack(withHair(apart, upright, 'warp')), extras: 0 };
    probe.setCloth(packed);
    const pose = fitted(packed, {}, size);
    const eye = createEye();
    placeEye(eye, pose, size, 1);
    const whole = { x: 0, y: 0, width: size, height: size };
    const [draw, ...others] = hairDraws(packed, hairThreads(packed), eye, size, size, whole, 0);
    expect([draw.group.around, draw.stride, others]).toEqual([MOST_HAIR_SECTORS, 1, []]);
    buffersOf(probe, pose, size, false, 0);
    const roots = placedRoots(probe, draw.places);
    expect(new Set(roots).size).toBe(roots.length);
    const yarnMm = ends * (apart.problem.rowYarn.length - 1) * apartMm;
    expect(Math.abs(roots.length / (perMm * yarnMm) - 1)).toBeLessThan(BY_CHANCE);
  });

  test('where hairs are finer than pixels some stand in for others, and as much is covered', () => {
    const packed = pack(withHair(plain, fuzz({ perMm: 40, diameterMm: 0.02 })));
    const size = 48;
    probe.setCloth(packed);
    const pose = fitted(packed, {}, size);
    const eye = createEye();
    placeEye(eye, pose, size, 1);
    const whole = { x: 0, y: 0, width: size, height: size };
    const [draw] = hairDraws(packed, hairThreads(packed), eye, size, size, whole, 0);
    expect(draw.stride).toBeGreaterThanOrEqual(4);
    let walked = 0;
    let drawn = 0;
    for (let sample = 0; sample < 24; sample++) {
      walked += buffersOf(probe, pose, size, true, sample).hairs;
      drawn += buffersOf(probe, pose, size, false, sample).hairs;
    }
    expect(walked / (24 * size ** 2)).toBeGreaterThan(0.1);
    expect(Math.abs(drawn / walked - 1)).toBeLessThan(STANDING_IN_SHARE);
  });
});

function fitted(cloth: PackedCloth, turn: Partial<ClothPose>, size: number): ClothPose {
  return fitPose(cloth.bounds, { ...FACE_POSE, ...turn }, size, size);
}

/** Of the hairs that were placed last, where their roots are. */
function placedRoots({ drawer, renderer }: LinearProbe, places: number): string[] {
  const rows = Math.ceil(places / TABLE_WIDTH);
  const target = wholeNumberTarget(TABLE_WIDTH, rows, 3);
  const roots = new Uint32Array(TABLE_WIDTH * rows * 4);
  withRenderer(renderer, () => {
    drawer.programs.hairPlace.draw(renderer, target);
    renderer.readRenderTargetPixels(target, 0, 0, TABLE_WIDTH, rows, roots, undefined, 0);
  });
  target.dispose();
  return Array.from({ length: places }, (_, k) => [...roots.subarray(4 * k, 4 * k + 4)])
    .filter(([, , , radius]) => radius > 0)
    .map((root) => root.join());
}

/** What one sample of the picture buffer holds: ids, and how many pixels show hair. */
function buffersOf(probe: LinearProbe, pose: ClothPose, size: number, walkAll: boolean, sample: number) {
  const targets = new PictureTargets(size, size, true);
  const id = new Uint32Array(size * size);
  let hairs = 0;
  withRenderer(probe.renderer, () => {
    const scene = { pose, light: NORTH_LIGHT, background: [0, 0, 0] as const, backLit: false, walkAll };
    probe.drawer.setScene({ ...scene, fine: true }, size, size, 1);
    // Rays and what is drawn look through one place of each pixel.
    probe.drawer.buffer.draw(targets, { x: 0, y: 0, width: size, height: size }, sample, true);
    const ids = new Uint8Array(size * size * 4);
    const axes = new Uint8Array(size * size * 4);
    probe.renderer.readRenderTargetPixels(targets.buffer, 0, 0, size, size, ids, undefined, 0);
    probe.renderer.readRenderTargetPixels(targets.buffer, 0, 0, size, size, axes, undefined, 3);
    for (let p = 0; p < size * size; p++) {
      id[p] = ids[4 * p] | (ids[4 * p + 1] << 8) | (ids[4 * p + 2] << 16);
      if (id[p] >> ID_INDEX_BITS !== 0 && axes[4 * p + 3] < LEAST_BODY) hairs++;
    }
  });
  targets.dispose();
  return { id, hairs };
}
