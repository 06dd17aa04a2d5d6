import type { Millimetres, Radians } from '#engine/units/units.ts';

/** Frequency at which f appears when sampled at fs, in one unit: |f − round(f/fs) fs| (C. E. Shannon 1949). */
export function apparentFrequency(frequency: number, samplingRate: number): number {
  return Math.abs(frequency - Math.round(frequency / samplingRate) * samplingRate);
}

/** Whether a pattern shows at a false frequency: fewer than two samples to its period. */
export function isAliased(frequency: number, samplingRate: number): boolean {
  return 2 * frequency > samplingRate;
}

/** Least pixels per cm at which a pattern of `threads` threads a period can be told from even grey: two a period. */
export function lowestPixelsPerCm(threadsPerCm: number, threads: number): number {
  return (2 * threadsPerCm) / threads;
}

/**
 * Period of the bands between two parallel gratings: p1 p2 / |p1 − p2|; Infinity where they are alike
 * (G. Oster & Y. Nishijima 1963; I. Amidror, The Theory of the Moiré Phenomenon).
 */
export function parallelMoireMm(firstMm: Millimetres, secondMm: Millimetres): Millimetres {
  return (firstMm * secondMm) / Math.abs(firstMm - secondMm);
}

/** Period of the bands between two equal gratings turned against each other: p / (2 sin(θ/2)) (as above). */
export function turnedMoireMm(pitchMm: Millimetres, turn: Radians): Millimetres {
  return pitchMm / (2 * Math.sin(turn / 2));
}

/** What is left of a pattern's contrast after a pixel one unit wide: box. f in cycles a pixel. */
export function boxTransfer(cyclesPerPixel: number): number {
  return cyclesPerPixel === 0 ? 1 : Math.abs(Math.sin(Math.PI * cyclesPerPixel) / (Math.PI * cyclesPerPixel));
}

/** As `boxTransfer`, for a tent two pixels wide. */
export function tentTransfer(cyclesPerPixel: number): number {
  return boxTransfer(cyclesPerPixel) ** 2;
}

/** As `boxTransfer`, for a Gaussian of standard deviation sigma pixels. */
export function gaussianTransfer(cyclesPerPixel: number, sigma: number): number {
  return Math.exp(-2 * (Math.PI * sigma * cyclesPerPixel) ** 2);
}
