import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { crushTables } from '#engine/cloth/heights/crushTable.ts';
import type { HeightsSolution } from '#engine/cloth/heights/heightsTypes.ts';
import { rowsPerPause } from '#engine/cloth/pauses.ts';
import { type CrushLaw, crushLawOf, squeezedLaws } from '#engine/yarn/compression.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

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

/** Heights and forces that sections depend on, row-major. */
type SolvedHeights = Pick<HeightsSolution, 'contactForceN' | 'warpHeightMm' | 'weftHeightMm'>;

/** Contact and body heights of each thread, its spread where pressed and where not, and its height by force. */
function threadSections(
  positionMm: Float64Array,
  bodyOf: (index: number) => YarnBody,
  crushOf: (body: YarnBody, index: number) => CrushLaw,
  squeezeOf: (index: number) => number,
) {
  const of = (value: (body: YarnBody, index: number) => number) =>
    Float64Array.from(positionMm, (_, index) => value(bodyOf(index), index));
  return {
    contact: of((body) => body.contactHeightMm),
    body: of((body, index) => body.bodyHeightMm / squeezeOf(index)),
    least: of((_, index) => 1 / squeezeOf(index)),
    free: of((body, index) => squeezeOf(index) * spread(body, room(positionMm, index))),
    pressed: of((body, index) => squeezeOf(index) * pressedSpread(body, room(positionMm, index))),
    crush: crushTables(Array.from(positionMm, (_, index) => crushOf(bodyOf(index), index))),
  };
}

/**
 * Sections at the nodes, over contact width and height: as high as the crossing's force leaves them and spread half way, the
 * body's own (within the room that neighbours and the crossed yarn leave) in a float. Fields over the solved region, row-major.
 * Pauses now and then.
 */
export function* sectionFactors(
  region: {
    readonly rows: number;
    readonly ends: number;
    readonly endXMm: Float64Array;
    readonly rowYMm: Float64Array;
  },
  problem: ClothProblem,
  solution: SolvedHeights,
): Generator<void, Sections> {
  const { rows, ends, endXMm, rowYMm } = region;
  const size = rows * ends;
  const sections: Sections = {
    warpWidth: new Float32Array(size),
    warpHeight: new Float32Array(size),
    weftWidth: new Float32Array(size),
    weftHeight: new Float32Array(size),
  };
  const { warpWidth, warpHeight, weftWidth, weftHeight } = sections;
  const { contactForceN, warpHeightMm, weftHeightMm } = solution;
  const laws = new Map(problem.yarns.map((body) => [body, crushLawOf(body)]));
  const squeezed = squeezedLaws();
  const squeezeOf = (end: number) => problem.endSqueeze?.[end] ?? 1;
  const warp = threadSections(
    endXMm,
    (end) => problem.yarns[problem.endYarn[end]],
    (body, end) => squeezed(laws.get(body)!, squeezeOf(end)),
    squeezeOf,
  );
  const weft = threadSections(
    rowYMm,
    (row) => problem.yarns[problem.rowYarn[row]],
    (body) => laws.get(body)!,
    () => 1,
  );
  const step = rowsPerPause(ends);
  for (let row = 0; row < rows; row++) {
    if (row % step === step - 1) yield;
    const first = problem.rowFirst[row];
    const last = problem.rowLast[row];
    fillRow(row, first, last);
  }
  return sections;

  function fillRow(row: number, first: number, last: number): void {
    const weftContact = weft.contact[row];
    const weftBody = weft.body[row];
    for (let end = 0, k = row * ends; end < ends; end++, k++) {
      const contact = warp.contact[end];
      const force = contactForceN[k];
      if (force > 0) {
        const warpMm = 2 * warp.crush[end].at(force);
        const weftMm = 2 * weft.crush[row].at(force);
        warpHeight[k] = warpMm / contact;
        weftHeight[k] = weftMm / weftContact;
        // The paths of the threads that cross were found for these.
        warpWidth[k] = warp.pressed[end];
        weftWidth[k] = weft.pressed[row];
        continue;
      }
      const standing = warp.least[end] * contact;
      const present = end >= first && end <= last;
      const gapMm = present
        ? Math.abs(warpHeightMm[k] - weftHeightMm[k]) - (standing + weftContact) / 2
        : warp.body[end];
      // Each of the two may take half of the gap, on its own side of it.
      const growMm = gapMm > 0 ? gapMm / 2 : 0;
      warpWidth[k] = warp.free[end];
      warpHeight[k] = Math.max(warp.least[end], Math.min(warp.body[end], standing + growMm) / contact);
      weftWidth[k] = weft.free[row];
      weftHeight[k] = Math.max(1, Math.min(weftBody, weftContact + growMm) / weftContact);
    }
  }
}
