import type { Progress } from '#engine/cloth/clothTypes.ts';
import { MATERIAL_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { createTable } from '#engine/packing/packTables.ts';
import type { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { allOf, type CrossingClasses, classifyCrossings, memberAt } from './classes.ts';
import {
  CLASS_TEXELS,
  type FarCloth,
  GROUP_AT,
  HORIZONS,
  MOST_GROUPS,
  SURFEL_TEXELS,
  VIEW_AZIMUTHS,
  VIEW_RINGS,
} from './farTypes.ts';
import { fitViews } from './fitViews.ts';
import { createOpenness, findHorizons, findSky, liesWithin } from './horizon.ts';
import { createPatch, crossingArea, materialOf, patchAt } from './surfels.ts';

/**
 * Patches along a class's threads: by the square root of its share in the cloth, since the error of the whole then falls
 * fastest for the rays spent.
 */
const COLUMNS_OF_ALL = 40;
/** A cloth of this few classes or fewer has time for twice as many. */
const FEW_CLASSES = 8;
const LEAST_COLUMNS = 3;
/** Odd, so that the shifts within strata do not come back to where they were from column to column. */
const AROUND = 9;
const GOLDEN = 0.6180339887498949;
const GOLDEN_2 = 0.7548776662466927;
/** Rays between two pauses: about 2 ms. */
const RAYS_PER_PAUSE = 500;

/** `farInSteps` in one go. */
export function buildFar(cloth: PackedCloth): FarCloth {
  const steps = farInSteps(cloth);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/**
 * The far model of a packed cloth, by the walk over its geometry. Some 40 rays a patch, 14 patches or more a class, family
 * and side: bounded by the count of classes, whatever the cloth's size.
 */
export function* farInSteps(cloth: PackedCloth): Generator<Progress, FarCloth> {
  const walker = new ClothWalker(cloth);
  const sorting = classifyCrossings(walker.reader);
  let sorted = sorting.next();
  for (; !sorted.done; sorted = sorting.next()) yield { stage: 'packing', share: 0.2 * sorted.value };
  const classes = sorted.value;
  const surfels: number[] = [];
  const classTable = createTable(classes.count * CLASS_TEXELS, 'far classes');
  const state: Sampling = { walker, classes, surfels, counter: 0, rays: 0 };
  for (let index = 0; index < classes.count; index++) {
    describeClass(classTable, state, index);
    for (const side of [1, -1] as const) {
      const first = surfels.length / (SURFEL_TEXELS * 4);
      yield* sampleClass(state, index, side);
      const at = index * CLASS_TEXELS * 4 + (side === 1 ? 0 : 2);
      classTable[at] = first;
      classTable[at + 1] = surfels.length / (SURFEL_TEXELS * 4) - first;
    }
    yield { stage: 'packing', share: 0.2 + (0.5 * (index + 1)) / classes.count };
  }
  const count = surfels.length / (SURFEL_TEXELS * 4);
  const surfelTable = createTable(count * SURFEL_TEXELS, 'far patches');
  surfelTable.set(surfels);
  const { lines, ends, classOf } = classes;
  const viewTable = new Float32Array(groupClasses(classTable, classes.count) * 2 * VIEW_RINGS * VIEW_AZIMUTHS * 4).fill(
    1,
  );
  const far = { lines, ends, classOf, classes: classes.count, classTable, surfels: count, surfelTable, viewTable };
  const fitting = fitViews(far, walker, classes);
  for (let fitted = fitting.next(); !fitted.done; fitted = fitting.next()) {
    yield { stage: 'packing', share: 0.7 + 0.3 * fitted.value };
  }
  return far;
}

/** Numbers classes by their weft; gives the count of groups. */
function groupClasses(table: Float32Array, count: number): number {
  const groups = new Map<number, number>();
  for (let index = 0; index < count; index++) {
    const at = index * CLASS_TEXELS * 4;
    const group = groups.get(table[at + 5]) ?? Math.min(groups.size, MOST_GROUPS - 1);
    groups.set(table[at + 5], group);
    table[at + GROUP_AT] = group;
  }
  return Math.min(groups.size, MOST_GROUPS);
}

interface Sampling {
  readonly walker: ClothWalker;
  readonly classes: CrossingClasses;
  readonly surfels: number[];
  counter: number;
  rays: number;
}

function describeClass(table: Float32Array, state: Sampling, index: number): void {
  const { walker, classes } = state;
  const { reader, cloth } = walker;
  const at = index * CLASS_TEXELS * 4;
  const count = classes.members[index].length;
  const { line, end } = memberAt(cloth, classes, index, 0);
  table[at + 4] = materialOf(reader, true, line, end);
  table[at + 5] = materialOf(reader, false, line, end);
  table[at + 7] = classes.size[index] / allOf(classes);
  for (let k = 0; k < count; k++) {
    const member = memberAt(cloth, classes, index, k);
    table[at + 6] += crossingArea(reader, member.line, member.end) / count;
    for (let beside = -1; beside <= 1; beside++) {
      // Light between threads comes from the thread itself and those beside it.
      const share = (beside === 0 ? 0.5 : 0.25) / count;
      const e = Math.min(cloth.ends - 1, Math.max(0, member.end + beside));
      const l = Math.min(cloth.lines - 1, Math.max(0, member.line + beside));
      const warp = materialOf(reader, true, member.line, e) * MATERIAL_TEXELS * 4;
      const weft = materialOf(reader, false, l, member.end) * MATERIAL_TEXELS * 4;
      for (let channel = 0; channel < 3; channel++) {
        table[at + 8 + channel] += share * cloth.materialTable[warp + 5 + channel];
        table[at + 12 + channel] += share * cloth.materialTable[weft + 5 + channel];
      }
    }
  }
}

const patch = createPatch();
const patchAfter = createPatch();
const openness = createOpenness();

/** Standard deviation of the thread's direction within a stretch of it, rad: even change from end to end. */
function tiltWithin(
  reader: ClothReader,
  warp: boolean,
  line: number,
  end: number,
  from: number,
  to: number,
  side: 1 | -1,
): number {
  if (!patchAt(patch, reader, warp, line, end, from, 0, side)) return 0;
  if (!patchAt(patchAfter, reader, warp, line, end, to - 1e-6, 0, side)) return 0;
  const cosine = patch.axis.reduce((sum, value, k) => sum + value * patchAfter.axis[k], 0);
  return Math.acos(Math.min(1, cosine)) / Math.sqrt(12);
}

function* sampleClass(state: Sampling, index: number, side: 1 | -1): Generator<Progress, void> {
  const { walker, classes, surfels } = state;
  const share = classes.size[index] / allOf(classes);
  const most = classes.count <= FEW_CLASSES ? 2 * COLUMNS_OF_ALL : COLUMNS_OF_ALL;
  const columns = Math.max(LEAST_COLUMNS, Math.round(Math.sqrt(share) * most));
  for (const warp of [true, false]) {
    for (let column = 0; column < columns; column++) {
      const { line, end } = memberAt(walker.cloth, classes, index, column);
      const area = crossingArea(walker.reader, line, end);
      const tilt = tiltWithin(walker.reader, warp, line, end, column / columns, (column + 1) / columns, side);
      for (let k = 0; k < AROUND; k++) {
        state.counter++;
        // Each stratum once: along by column, around by k, each shifted within it by a golden-ratio sequence.
        const along = (column + ((state.counter * GOLDEN) % 1)) / columns;
        const around = (2 * (k + ((state.counter * GOLDEN_2) % 1))) / AROUND - 1;
        if (!patchAt(patch, walker.reader, warp, line, end, along, around, side)) continue;
        if (liesWithin(walker, patch, side)) continue;
        const seen = findHorizons(openness, walker, patch, side, state.counter);
        if (seen) findSky(openness, walker, patch, state.counter);
        state.rays += openness.rays;
        if (!seen) continue;
        surfels.push(...patch.normal, patch.area / (columns * AROUND * area));
        surfels.push(...patch.axis, warp ? 1 : 0);
        surfels.push(...openness.openMean, openness.open);
        surfels.push(openness.onWarp, openness.phase, tilt, 0);
        for (let h = 0; h < HORIZONS; h++) surfels.push(openness.horizon[h]);
        if (state.rays > RAYS_PER_PAUSE) {
          state.rays = 0;
          yield { stage: 'packing', share: 0.2 + (0.5 * index) / classes.count };
        }
      }
    }
  }
}
