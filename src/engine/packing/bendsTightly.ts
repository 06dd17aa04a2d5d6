import type { ClothGeometry, ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { rowStart } from '#engine/cloth/heldCrossings.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { type ClothLines, rowAtLine } from './packLines.ts';
import { sectionOfCore } from './threadSizes.ts';
import { createTubeSegment, settleBend, type TubeSegment } from './walk/tubeSegment.ts';

/** Rows, or of larger cloths so many of them, evenly, are looked at. */
const MOST_STRETCHES = 2 ** 17;

const segment = createTubeSegment();

/**
 * Whether some thread bends about as tightly as it is thick, or more, so that the picture needs the programs that meet it by
 * its true nearest place. Of more than MOST_STRETCHES distinct stretches some are looked at.
 * @param coreShare of each yarn's section, what is drawn as body (packHair.ts)
 */
export function bendsTightly(
  problem: ClothProblem,
  geometry: ClothGeometry,
  lines: ClothLines,
  coreShare: Float64Array,
): boolean {
  const { periodRows, periodEnds, endXMm, warp, weft, byKinds } = geometry;
  const node = (row: number, end: number) => rowStart(geometry, row) + (end % periodEnds);
  const every = Math.max(1, Math.ceil((2 * periodRows * periodEnds) / MOST_STRETCHES));
  const bends = (field: CurveField, k0: number, k1: number, pitch: number, yarn: number): boolean => {
    if (!(pitch > 1e-5)) return false;
    fill(segment, field, k0, k1, pitch, problem.yarns[yarn], coreShare[yarn]);
    settleBend(segment);
    return segment.tight;
  };
  const looks = (count: number) =>
    byKinds?.held.looks ?? Array.from({ length: Math.ceil(Math.min(count, periodRows) / every) }, (_, k) => k * every);
  for (const row of looks(problem.rows)) {
    const yarn = problem.rowYarn[row];
    for (let end = 0; end < Math.min(problem.ends - 1, periodEnds); end++) {
      if (bends(weft, node(row, end), node(row, end + 1), endXMm[end + 1] - endXMm[end], yarn)) return true;
    }
  }
  for (const line of looks(lines.count - 1)) {
    const pitch = lines.yMm[line + 1] - lines.yMm[line];
    for (let end = 0; end < Math.min(problem.ends, periodEnds); end++) {
      const k0 = node(rowAtLine(problem, lines, line, end), end);
      const k1 = node(rowAtLine(problem, lines, line + 1, end), end);
      if (bends(warp, k0, k1, pitch, problem.endYarn[end])) return true;
    }
  }
  return false;
}

/** As the walk's reader has it, from the solved curve. */
function fill(
  s: TubeSegment,
  field: CurveField,
  k0: number,
  k1: number,
  pitch: number,
  yarn: YarnBody,
  core: number,
): void {
  const dO = field.offsetMm[k1] - field.offsetMm[k0];
  const dZ = field.heightMm[k1] - field.heightMm[k0];
  s.pitch = pitch;
  s.o2 = 3 * dO - (2 * field.offsetSlope[k0] + field.offsetSlope[k1]) * pitch;
  s.o3 = (field.offsetSlope[k0] + field.offsetSlope[k1]) * pitch - 2 * dO;
  s.z2 = 3 * dZ - (2 * field.slope[k0] + field.slope[k1]) * pitch;
  s.z3 = (field.slope[k0] + field.slope[k1]) * pitch - 2 * dZ;
  s.wrapStart = field.wrapStartMm[k0];
  s.wrapChange = field.wrapEndMm[k0] - field.wrapStartMm[k0];
  s.a0 = (yarn.contactWidthMm * sectionOfCore(core, field.widthFactor[k0])) / 2;
  s.b0 = (yarn.contactHeightMm * sectionOfCore(core, field.heightFactor[k0])) / 2;
  s.aChange = (yarn.contactWidthMm * sectionOfCore(core, field.widthFactor[k1])) / 2 - s.a0;
  s.bChange = (yarn.contactHeightMm * sectionOfCore(core, field.heightFactor[k1])) / 2 - s.b0;
}
