import { type ClothWalker, createWalkHit, type WalkHit } from '#engine/packing/walk/walkCloth.ts';
import { type CrossingClasses, memberAt } from './classes.ts';

/** One line of sight through the cell about a crossing. */
export interface ClassRay {
  /** Area of the cell, from halfway to the threads before to halfway to those after, mm², times four. */
  cell: number;
  /** Where it begins above the cloth, mm. */
  readonly origin: [number, number];
  /** Whether it met a thread, and what. */
  met: boolean;
  readonly hit: WalkHit;
}

const ray: ClassRay = { cell: 0, origin: [0, 0], met: false, hit: createWalkHit() };

/**
 * Rays along the view through the cells about crossings of a class, where they meet the mid-plane, spread evenly (R2).
 * @param from number of the first: one sequence through all classes, so that those of few rays are not all looked at in one spot
 * @param look reads the ray, which is written over by the next
 */
export function lookThroughClass(
  walker: ClothWalker,
  classes: CrossingClasses,
  index: number,
  count: number,
  from: number,
  view: readonly [number, number, number],
  look: (ray: ClassRay) => void,
): void {
  const { cloth, reader } = walker;
  const { min, max } = cloth.bounds;
  const middle = 0.5 * (min[2] + max[2]);
  const away = ((view[2] > 0 ? max[2] : min[2]) - middle) / view[2] + 1e-3;
  for (let k = 0; k < count; k++) {
    const { line, end } = memberAt(cloth, classes, index, k);
    const x0 = reader.endX(Math.max(0, end - 1));
    const x1 = reader.endX(end);
    const x2 = reader.endX(Math.min(cloth.ends - 1, end + 1));
    const y0 = reader.lineY(Math.max(0, line - 1));
    const y1 = reader.lineY(line);
    const y2 = reader.lineY(Math.min(cloth.lines - 1, line + 1));
    const n = from + k;
    const x = 0.5 * (x0 + x1 + ((0.5 + n * 0.7548776662466927) % 1) * (x2 - x0));
    const y = 0.5 * (y0 + y1 + ((0.5 + n * 0.5698402909980532) % 1) * (y2 - y0));
    ray.cell = (x2 - x0) * (y2 - y0);
    ray.origin[0] = x + away * view[0];
    ray.origin[1] = y + away * view[1];
    const oz = middle + away * view[2];
    const [ox, oy] = ray.origin;
    ray.met = walker.walk(ray.hit, ox, oy, oz, -view[0], -view[1], -view[2], 0, Number.POSITIVE_INFINITY);
    look(ray);
  }
}
