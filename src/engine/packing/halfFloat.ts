const single = new Float32Array(1);
const singleBits = new Uint32Array(single.buffer);

/** IEEE 754 binary16 bits of a number, rounded to nearest even; beyond ±65504 it saturates, so that no infinity is drawn. */
export function toHalf(value: number): number {
  single[0] = value;
  return halfOfSingle(singleBits[0]);
}

/** The same from a binary32's bits: reading a Float32Array through a Uint32Array spares a conversion each. */
export function halfOfSingle(bits: number): number {
  const sign = (bits >>> 16) & 0x8000;
  const magnitude = bits & 0x7fffffff;
  if (magnitude > 0x7f800000) return 0x7e00;
  if (magnitude >= 0x477fe000) return sign | 0x7bff;
  if (magnitude < 0x33000001) return sign;
  if (magnitude < 0x38800000) {
    const exponent = magnitude >>> 23;
    const mantissa = (magnitude & 0x7fffff) | 0x800000;
    const shift = 126 - exponent;
    return sign | roundShift(mantissa, shift);
  }
  // The common case without a branch: half a unit less one, and one more where the result would be odd.
  const rebased = magnitude - 0x38000000;
  return sign | ((rebased + 0xfff + ((rebased >>> 13) & 1)) >>> 13);
}

function roundShift(value: number, shift: number): number {
  const half = 1 << (shift - 1);
  const rest = value & ((1 << shift) - 1);
  const whole = value >>> shift;
  return rest > half || (rest === half && (whole & 1) === 1) ? whole + 1 : whole;
}

/** Number held by binary16 bits. */
export function fromHalf(bits: number): number {
  const exponent = (bits >>> 10) & 0x1f;
  const mantissa = bits & 0x3ff;
  const sign = bits & 0x8000 ? -1 : 1;
  if (exponent === 0) return sign * mantissa * 2 ** -24;
  if (exponent === 31) return mantissa === 0 ? sign * Number.POSITIVE_INFINITY : Number.NaN;
  return sign * (1 + mantissa / 1024) * 2 ** (exponent - 15);
}
