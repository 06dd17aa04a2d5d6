import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** A contact with less than this share of the mean force does not press a yarn flat. */
const PRESSING_SHARE = 1e-3;

interface Sections {
  readonly warpWidth: Float32Array;
  readonly warpHeight: Float32Array;
  readonly weftWidth: Float32Array;
  readonly weftHeight: Float32Array;
}

/** Distance to the nearer neighbour; positions ascend and may coincide (rows side by side do not crowd each other). */
function room(positionMm: Float64Array, index: number): number {
  const before = index > 0 ? positionMm[index] - positionMm[index - 1] : Number.POSITIVE_INFINITY;
  const after = index < positionMm.length - 1 ? positionMm[index + 1] - positionMm[index] : Number.POSITIVE_INFINITY;
  return Math.min(before > 0 ? before : Number.POSITIVE_INFINITY, after > 0 ? after : Number.POSITIVE_INFINITY);
}

/** How far a yarn spreads where nothing presses on it: to its body width, as far as its neighbours leave room. */
function spread(body: YarnBody, roomMm: number): number {
  return Math.max(1, Math.min(body.bodyWidthMm, roomMm) / body.contactWidthMm);
}

/**
 * The same where a crossing presses: the yarn is held on one side only, and its crown spreads half as far. At the setts
 * that weavers use for plain cloth (half the turns that fit on a ruler, common practice) this leaves the gaps that the
 * cloth shows on the loom; with crushed sections all through it would be a third too open.
 */
function pressedSpread(body: YarnBody, roomMm: number): number {
  return (1 + spread(body, roomMm)) / 2;
}

/** Half width of the pressed section of each thread of a system, for the path of the threads that cross it. */
export function pressedHalfWidths(positionMm: Float64Array, bodyOf: (index: number) => YarnBody): Float64Array {
  return Float64Array.from(positionMm, (_, index) => {
    const body = bodyOf(index);
    return (body.contactWidthMm / 2) * pressedSpread(body, room(positionMm, index));
  });
}

/**
 * Sections at the nodes, over contact width and height: spread half way where the crossing presses, the body's own
 * (within the room that neighbours and the crossed yarn leave) in a float. Fields over the solved region, row-major.
 */
export function sectionFactors(
  region: {
    readonly rows: number;
    readonly ends: number;
    readonly endXMm: Float64Array;
    readonly rowYMm: Float64Array;
  },
  problem: ClothProblem,
  solution: HeightsSolution,
): Sections {
  const { rows, ends } = region;
  const size = rows * ends;
  const sections: Sections = {
    warpWidth: new Float32Array(size).fill(1),
    warpHeight: new Float32Array(size).fill(1),
    weftWidth: new Float32Array(size).fill(1),
    weftHeight: new Float32Array(size).fill(1),
  };
  let pressed = 0;
  let total = 0;
  for (let k = 0; k < size; k++) {
    if (solution.contactForceN[k] <= 0) continue;
    pressed++;
    total += solution.contactForceN[k];
  }
  const least = pressed > 0 ? (PRESSING_SHARE * total) / pressed : 0;
  const endRoom = Float64Array.from({ length: ends }, (_, i) => room(region.endXMm, i));
  const rowRoom = Float64Array.from({ length: rows }, (_, j) => room(region.rowYMm, j));
  for (let row = 0; row < rows; row++) {
    const weft = problem.yarns[problem.rowYarn[row]];
    for (let end = 0; end < ends; end++) {
      const k = row * ends + end;
      const warp = problem.yarns[problem.endYarn[end]];
      if (solution.contactForceN[k] > least) {
        sections.warpWidth[k] = pressedSpread(warp, endRoom[end]);
        sections.weftWidth[k] = pressedSpread(weft, rowRoom[row]);
        continue;
      }
      const present = end >= problem.rowFirst[row] && end <= problem.rowLast[row];
      const gapMm = present
        ? Math.abs(solution.warpHeightMm[k] - solution.weftHeightMm[k]) -
          (warp.contactHeightMm + weft.contactHeightMm) / 2
        : warp.bodyHeightMm;
      // Each of the two may take half of the gap, on its own side of it.
      const growMm = Math.max(0, gapMm) / 2;
      sections.warpWidth[k] = spread(warp, endRoom[end]);
      sections.warpHeight[k] = Math.max(
        1,
        Math.min(warp.bodyHeightMm, warp.contactHeightMm + growMm) / warp.contactHeightMm,
      );
      sections.weftWidth[k] = spread(weft, rowRoom[row]);
      sections.weftHeight[k] = Math.max(
        1,
        Math.min(weft.bodyHeightMm, weft.contactHeightMm + growMm) / weft.contactHeightMm,
      );
    }
  }
  return sections;
}
