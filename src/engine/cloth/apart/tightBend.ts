import { FOOT_LOOKS, FOOT_STEPS, limitedWrap, TIGHT_BEND } from '#engine/cloth/bend.ts';
import { type CurvePoint, curvePoint } from '#engine/cloth/curve.ts';
import type { ApartFamily } from './apartFamily.ts';

/** Wraps are cut a little before the picture would, whose bytes round them: cut by it alone, what was parted is drawn otherwise. */
const CUT_SHARE = 0.96;

/** A stretch of a thread from one line to the next, as the picture draws it. */
export interface Stretch {
  readonly of: ApartFamily;
  readonly thread: number;
  readonly from: number;
  readonly to: number;
  readonly pitchMm: number;
}

/** Bend of a stretch's cubic at its first node, times its pitch squared over two; at its last. */
function firstBend({ of: { field }, from, to, pitchMm }: Stretch): number {
  const rise = field.heightMm[to] - field.heightMm[from];
  return 3 * rise - (2 * field.slope[from] + field.slope[to]) * pitchMm;
}

function lastBend({ of: { field }, from, to, pitchMm }: Stretch): number {
  const rise = field.heightMm[to] - field.heightMm[from];
  return (field.slope[from] + 2 * field.slope[to]) * pitchMm - 3 * rise;
}

/** Half its section over the radius of a stretch's tightest bend, at its nodes and half way, as the picture reckons it (`settleBend`). */
function tightness(stretch: Stretch): number {
  const { of, thread, from, to, pitchMm } = stretch;
  const f = of.field;
  const across = f.offsetMm[to] - f.offsetMm[from];
  const start = f.wrapStartMm[from];
  const end = f.wrapEndMm[from];
  const first = firstBend(stretch);
  const last = lastBend(stretch);
  const half = (first + last) / 2 - (start + end) / 4;
  const up = Math.max(Math.abs(first + start), Math.abs(last + end), Math.abs(half));
  const beside = Math.max(
    Math.abs(3 * across - (2 * f.offsetSlope[from] + f.offsetSlope[to]) * pitchMm),
    Math.abs((f.offsetSlope[from] + 2 * f.offsetSlope[to]) * pitchMm - 3 * across),
  );
  const tall = of.halfHeightMm[thread] * Math.max(f.heightFactor[from], f.heightFactor[to]);
  const wide = of.halfWidthMm[thread] * Math.max(f.widthFactor[from], f.widthFactor[to]);
  return (2 * Math.max(up * tall, beside * wide)) / (pitchMm * pitchMm);
}

/** Whether the picture seeks the true foot on the stretch's curve. */
export const isTight = (stretch: Stretch): boolean => tightness(stretch) > TIGHT_BEND;

/** Wraps of a stretch that bends tightly, no larger than the picture takes them. */
export function limitWraps(stretch: Stretch): void {
  if (tightness(stretch) <= CUT_SHARE * TIGHT_BEND) return;
  const { wrapStartMm, wrapEndMm } = stretch.of.field;
  const { from } = stretch;
  wrapStartMm[from] = limitedWrap(wrapStartMm[from], firstBend(stretch));
  wrapEndMm[from] = limitedWrap(wrapEndMm[from], lastBend(stretch));
}

/** Where along a stretch the foot of a place lies, 0..1, and the curve there, to `at`; as `footPoint` of the picture has it. */
export function footOn(
  at: CurvePoint,
  { of, from, to, pitchMm }: Stretch,
  u: number,
  across: number,
  height: number,
): number {
  let share = 0;
  let nearest = Infinity;
  for (let k = 0; k < FOOT_LOOKS; k++) {
    const v = (k + 0.5) / FOOT_LOOKS;
    curvePoint(at, of.field, from, to, pitchMm, v);
    const away = ((u - v) * pitchMm) ** 2 + (across - at.offset) ** 2 + (height - at.height) ** 2;
    if (away >= nearest) continue;
    nearest = away;
    share = v;
  }
  for (let k = 0; k < FOOT_STEPS; k++) {
    curvePoint(at, of.field, from, to, pitchMm, share);
    const w = across - at.offset;
    const h = height - at.height;
    const grade = 1 + at.offsetSlope * at.offsetSlope + at.slope * at.slope;
    const rate = Math.max(0.5 * grade, grade - w * at.offsetBend - h * at.bend);
    const along = (u - share) * pitchMm;
    share = Math.min(1, Math.max(0, share + (along + w * at.offsetSlope + h * at.slope) / (rate * pitchMm)));
  }
  curvePoint(at, of.field, from, to, pitchMm, share);
  return share;
}
