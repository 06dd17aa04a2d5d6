import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { mean } from './mean.ts';

/**
 * Crimp that a thread keeps once it is drawn out and lies free: its bends are s of those that it had, and the length of shallow waves
 * goes as their height squared, c' = s² c. Within a tenth of itself up to a crimp of 0.2.
 */
export function crimpLeft(crimp: number, setShare: number): number {
  return setShare * setShare * crimp;
}

/** What threads drawn out of a finished cloth keep of their crimp, as shares of their straight length; undefined where nothing is set. */
export function setCrimp(
  { yarns, endYarn, rowYarn }: ClothProblem,
  takeUp: { readonly warp: number; readonly weft: number },
): { readonly warp: number; readonly weft: number } | undefined {
  const of = (yarnOf: Uint16Array, share: number) =>
    mean(Array.from(yarnOf, (yarn) => crimpLeft(share / (1 - share), yarns[yarn].setShare ?? 0)));
  const kept = { warp: of(endYarn, takeUp.warp), weft: of(rowYarn, takeUp.weft) };
  return kept.warp > 0 || kept.weft > 0 ? kept : undefined;
}
