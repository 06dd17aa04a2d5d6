import type { Millimetres } from '#engine/units/units.ts';
import { beforeLosses } from './losses.ts';

export interface WarpPlanInput {
  readonly pieces: number;
  /** Of one piece as woven, under tension, hems apart. */
  readonly wovenMm: Millimetres;
  /** At each end of a piece: woven, and left as warp. */
  readonly hemMm: Millimetres;
  readonly fringeMm: Millimetres;
  /** Woven first and cut away. */
  readonly headingMm: Millimetres;
  /** Tied on in front and left behind the shafts. */
  readonly wasteMm: Millimetres;
  /** Of the warp's length, taken by its waves over the wefts. */
  readonly takeUp: number;
}

/** Each allowance on a line of its own, mm of warp; they add up to `totalMm`. */
export interface WarpPlan {
  readonly clothMm: Millimetres;
  readonly hemsMm: Millimetres;
  readonly takeUpMm: Millimetres;
  readonly fringesMm: Millimetres;
  readonly headingMm: Millimetres;
  readonly wasteMm: Millimetres;
  readonly totalMm: Millimetres;
}

/** Length of warp: what is woven divided by 1 − take-up, and what is not woven added. */
export function warpPlan(input: WarpPlanInput): WarpPlan {
  const { pieces, takeUp } = input;
  const clothMm = pieces * input.wovenMm;
  const hemsMm = pieces * 2 * input.hemMm;
  const fringesMm = pieces * 2 * input.fringeMm;
  const woven = clothMm + hemsMm + input.headingMm;
  const takeUpMm = beforeLosses(woven, takeUp) - woven;
  const { headingMm, wasteMm } = input;
  return {
    clothMm,
    hemsMm,
    takeUpMm,
    fringesMm,
    headingMm,
    wasteMm,
    totalMm: woven + takeUpMm + fringesMm + wasteMm,
  };
}

/** Woven length (or width) that leaves a finished one, divided by what each stage keeps. */
export function wovenForFinished(finishedMm: Millimetres, lossOffLoom: number, lossFinished: number): Millimetres {
  return beforeLosses(finishedMm, lossFinished, lossOffLoom);
}

/** Ends that a width in the reed takes, to the nearest whole one. */
export function endsForWidth(widthMm: Millimetres, endsPerCm: number): number {
  return Math.round((widthMm / 10) * endsPerCm);
}

/** Pieces that a warp of this length still gives, whole ones; what it has left is waste and more. */
export function piecesFromWarp(warpMm: Millimetres, input: WarpPlanInput): number {
  const none = warpPlan({ ...input, pieces: 0 }).totalMm;
  const each = warpPlan({ ...input, pieces: 1 }).totalMm - none;
  return Math.max(0, Math.floor((warpMm - none) / each + 1e-9));
}
