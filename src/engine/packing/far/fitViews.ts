import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import type { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { allOf, type CrossingClasses } from './classes.ts';
import { lookThroughClass } from './classRays.ts';
import { classArea, classShares, type FarShares, groupOf } from './farShares.ts';
import { type FarCloth, RING_DEGREES, VIEW_AZIMUTHS, VIEW_RINGS } from './farTypes.ts';

/** Rays a direction, dealt to classes by their share; shares come out to about 0.004. */
const RAYS = 1200;
/** A class too rare for its share is looked at all the same. */
const LEAST_RAYS = 1;
/** Shares below this are left alone: too few rays meet them. */
const LEAST_SHARE = 0.004;
const MOST_FACTOR = 2;

const ofClass: FarShares = { warp: 0, weft: 0, warpLit: 0, weftLit: 0 };

/**
 * Fills in the view table. Horizons say which patches show, but miss what is seen beneath floats and along the open
 * channels between threads; rays towards whole crossings find what truly shows. Yields the share done.
 */
export function* fitViews(far: FarCloth, walker: ClothWalker, classes: CrossingClasses): Generator<number, void> {
  const whole = allOf(classes);
  const groups = far.viewTable.length / (2 * VIEW_RINGS * VIEW_AZIMUTHS * 4);
  const seen: Seen[] = Array.from({ length: groups }, () => ({ warp: 0, weft: 0, area: 0 }));
  const table: Seen[] = Array.from({ length: groups }, () => ({ warp: 0, weft: 0, area: 0 }));
  for (let side = 0; side < 2; side++) {
    for (let ring = 0; ring < VIEW_RINGS; ring++) {
      for (let a = 0; a < VIEW_AZIMUTHS; a++) {
        const at = (group: number) => (((2 * group + side) * VIEW_RINGS + ring) * VIEW_AZIMUTHS + a) * 4;
        if (ring === 0 && a > 0) {
          for (let group = 0; group < groups; group++) far.viewTable.copyWithin(at(group), at(group) - 4, at(group));
          continue;
        }
        const inclination = (RING_DEGREES[ring] * Math.PI) / 180;
        const azimuth = (a * 2 * Math.PI) / VIEW_AZIMUTHS;
        const view: readonly [number, number, number] = [
          Math.sin(inclination) * Math.cos(azimuth),
          Math.sin(inclination) * Math.sin(azimuth),
          Math.cos(inclination) * (side === 0 ? 1 : -1),
        ];
        for (const sums of [...seen, ...table]) sums.warp = sums.weft = sums.area = 0;
        let looked = 0;
        for (let index = 0; index < classes.count; index++) {
          const share = classes.size[index] / whole;
          const group = groupOf(far, index);
          const rays = Math.max(LEAST_RAYS, Math.round(share * RAYS));
          aim(seen[group], walker, classes, index, share, rays, looked, view);
          looked += rays;
          classShares(ofClass, far, index, view, view);
          const weight = classArea(far, index);
          table[group].warp += weight * ofClass.warp;
          table[group].weft += weight * ofClass.weft;
          table[group].area += weight;
        }
        for (let group = 0; group < groups; group++) {
          for (const [k, family] of (['warp', 'weft'] as const).entries()) {
            const found = seen[group][family] / seen[group].area;
            far.viewTable[at(group) + k] = factorOf(found, table[group][family] / table[group].area);
          }
        }
      }
      yield (side * VIEW_RINGS + ring + 1) / (2 * VIEW_RINGS);
    }
  }
}

interface Seen {
  warp: number;
  weft: number;
  area: number;
}

function factorOf(seen: number, table: number): number {
  if (table < LEAST_SHARE || seen < LEAST_SHARE) return 1;
  return Math.min(MOST_FACTOR, seen / table);
}

/** Adds what rays through the cells of a class meet, weighed by the class's share of the crossings. */
function aim(
  seen: Seen,
  walker: ClothWalker,
  classes: CrossingClasses,
  index: number,
  share: number,
  count: number,
  from: number,
  view: readonly [number, number, number],
): void {
  lookThroughClass(walker, classes, index, count, from, view, ({ cell, met, hit }) => {
    const weight = (share * cell) / count;
    seen.area += weight;
    if (!met) return;
    let isWarp = hit.kind === ThreadKind.warp;
    if (hit.kind === ThreadKind.extra) isWarp = (walker.cloth.extraTable[(hit.index * 3 + 2) * 4 + 3] & 1) === 1;
    if (isWarp) seen.warp += weight;
    else seen.weft += weight;
  });
}
