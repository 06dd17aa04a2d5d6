/**
 * One integer hash for everything that looks random, identical in TypeScript and in the shaders.
 * pcg: M. E. O'Neill 2014, HMC-CS-2014-0905; one round of RXS-M-XS on a 32-bit state.
 */
export function hash32(value: number): number {
  const state = (Math.imul(value >>> 0, 747796405) + 2891336453) >>> 0;
  const word = Math.imul(((state >>> ((state >>> 28) + 4)) ^ state) >>> 0, 277803737) >>> 0;
  return ((word >>> 22) ^ word) >>> 0;
}

/** Uniform in (0, 1), from a seed and a counter. */
export function hashUniform(seed: number, counter: number): number {
  return (hash32(hash32(seed) ^ (counter >>> 0)) + 0.5) / 4294967296;
}

/** Standard normal deviate (Box & Muller 1958, Ann. Math. Stat. 29, 610), from a seed and a counter. */
export function hashNormal(seed: number, counter: number): number {
  const u = hashUniform(seed, 2 * counter);
  const v = hashUniform(seed, 2 * counter + 1);
  return Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * v);
}
