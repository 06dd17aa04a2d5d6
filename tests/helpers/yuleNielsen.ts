/**
 * Reflectance of a share `a` of `r1` among `r0` that light each other (J. A. C. Yule & W. J. Nielsen 1951, Proc. TAGA 3,
 * 65): (a R1^(1/n) + (1 − a) R0^(1/n))^n. n = 1: none does, the mean by area; the larger n, the more.
 */
export function yuleNielsen(r1: number, r0: number, a: number, n: number): number {
  return (a * r1 ** (1 / n) + (1 - a) * r0 ** (1 / n)) ** n;
}
