import type { ClothGeometry, CurveField } from './clothTypes.ts';

/** A repeat's field written out over the whole cloth, row-major over rows × ends. Fields that share an array share it still. */
export function wholeField(
  field: CurveField,
  { rows, ends, periodRows, periodEnds }: Pick<ClothGeometry, 'rows' | 'ends' | 'periodRows' | 'periodEnds'>,
): CurveField {
  if (periodRows === rows && periodEnds === ends) return field;
  const whole = (source: Float32Array): Float32Array => {
    const out = new Float32Array(rows * ends);
    for (let row = 0; row < rows; row++) {
      const from = (row % periodRows) * periodEnds;
      for (let end = 0; end < ends; end += periodEnds) {
        const count = Math.min(periodEnds, ends - end);
        out.set(source.subarray(from, from + count), row * ends + end);
      }
    }
    return out;
  };
  // One field of zeros may serve for several.
  const known = new Map<Float32Array, Float32Array>();
  const once = (source: Float32Array) => {
    const found = known.get(source) ?? whole(source);
    known.set(source, found);
    return found;
  };
  return {
    heightMm: once(field.heightMm),
    slope: once(field.slope),
    offsetMm: once(field.offsetMm),
    offsetSlope: once(field.offsetSlope),
    wrapStartMm: once(field.wrapStartMm),
    wrapEndMm: once(field.wrapEndMm),
    widthFactor: once(field.widthFactor),
    heightFactor: once(field.heightFactor),
  };
}
