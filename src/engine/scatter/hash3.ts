/** Unsigned 32-bit triple. */
export type Hash3 = Uint32Array;

/**
 * pcg3d, the shaders' hash (`shaders/common/hash.glsl`), bit for bit (M. Jarzynski & M. Olano 2020, J. Comput. Graph.
 * Tech. 9(3)).
 * @param out three words; may not be read before the call
 */
export function hash3(out: Hash3, x: number, y: number, z: number): Hash3 {
  let a = (Math.imul(x, 1664525) + 1013904223) | 0;
  let b = (Math.imul(y, 1664525) + 1013904223) | 0;
  let c = (Math.imul(z, 1664525) + 1013904223) | 0;
  a = (a + Math.imul(b, c)) | 0;
  b = (b + Math.imul(c, a)) | 0;
  c = (c + Math.imul(a, b)) | 0;
  a ^= a >>> 16;
  b ^= b >>> 16;
  c ^= c >>> 16;
  a = (a + Math.imul(b, c)) | 0;
  b = (b + Math.imul(c, a)) | 0;
  c = (c + Math.imul(a, b)) | 0;
  out[0] = a;
  out[1] = b;
  out[2] = c;
  return out;
}

/** 24 bits of a word: 0 <= result < 1. */
export function unitFromHash(word: number): number {
  return (word >>> 8) / 16777216;
}
