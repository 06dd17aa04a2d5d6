import { THREAD_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { threadOwner } from '#engine/packing/threadOwner.ts';
import { type ClothWalker, createWalkHit, type WalkHit } from '#engine/packing/walk/walkCloth.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { type FarCloth, PLACE_TEXELS, PLACES } from './farTypes.ts';

/** One line of sight through the cell about a crossing. */
export interface ClassRay {
  /** Area of the cell, mm². */
  cell: number;
  /** Where it begins above the cloth, mm. */
  readonly origin: [number, number, number];
  /** Whether it met a thread, and what. */
  met: boolean;
  readonly hit: WalkHit;
}

const ray: ClassRay = { cell: 0, origin: [0, 0, 0], met: false, hit: createWalkHit() };

/**
 * Rays along the view through the cells about crossings of a class, where they meet the mid-plane, spread evenly (R2).
 * @param from number of the first: one sequence through all classes, so that those of few rays are not all looked at in one spot
 * @param look reads the ray, which is written over by the next
 */
export function lookThroughClass(
  walker: ClothWalker,
  far: FarCloth,
  index: number,
  count: number,
  from: number,
  view: readonly [number, number, number],
  look: (ray: ClassRay) => void,
): void {
  const { min, max } = walker.cloth.bounds;
  const middle = 0.5 * (min[2] + max[2]);
  const away = ((view[2] > 0 ? max[2] : min[2]) - middle) / view[2] + 1e-3;
  for (let k = 0; k < count; k++) {
    const place = (index * PLACES + (k % PLACES)) * PLACE_TEXELS * 4;
    const [x0, y0, x1, y1] = far.placeTable.subarray(place, place + 4);
    const n = from + k;
    const { origin } = ray;
    origin[0] = x0 + evenX(n) * (x1 - x0) + away * view[0];
    origin[1] = y0 + evenY(n) * (y1 - y0) + away * view[1];
    origin[2] = middle + away * view[2];
    ray.cell = (x1 - x0) * (y1 - y0);
    const { hit } = ray;
    ray.met = walker.walk(hit, ...origin, -view[0], -view[1], -view[2], 0, Number.POSITIVE_INFINITY);
    look(ray);
  }
}

/**
 * Rays along the view through cells of every class, dealt by what each takes of the cloth.
 * @param rays in all; a class too rare for one has one
 * @param look reads a ray and its share of the cloth's area (they add up to 1)
 */
export function lookAtCloth(
  walker: ClothWalker,
  far: FarCloth,
  rays: number,
  view: readonly [number, number, number],
  look: (share: number, ray: ClassRay) => void,
): void {
  let whole = 0;
  for (let index = 0; index < far.classes; index++) whole += far.share[index] * meanCell(far, index);
  let looked = 0;
  for (let index = 0; index < far.classes; index++) {
    const count = Math.max(1, Math.round(far.share[index] * rays));
    const each = far.share[index] / (count * whole);
    lookThroughClass(walker, far, index, count, looked, view, (ray) => look(each * ray.cell, ray));
    looked += count;
  }
}

/** Mean area of a class's cells, mm². */
function meanCell({ placeTable }: FarCloth, index: number): number {
  let sum = 0;
  const step = PLACE_TEXELS * 4;
  for (let k = index * PLACES * step; k < (index + 1) * PLACES * step; k += step) {
    sum += (placeTable[k + 2] - placeTable[k]) * (placeTable[k + 3] - placeTable[k + 1]);
  }
  return sum / PLACES;
}

/** Material of the thread that was met, and whether that is warp; turns and ends count as the thread they belong to. */
export function threadMet(cloth: PackedCloth, hit: WalkHit): { readonly isWarp: boolean; readonly material: number } {
  const owner = threadOwner(cloth.extraTable, hit.kind, hit.index);
  const isWarp = (owner & 1) === 1;
  const table = isWarp ? cloth.endTable : cloth.rowTable;
  return { isWarp, material: table[(owner >> 1) * THREAD_TEXELS * 4 + 3] };
}
