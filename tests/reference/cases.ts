import { expect } from 'vitest';
import appearance from './data/appearance-cases.json';
import textile from './data/textile-cases.json';

/** Published numbers that the engine is held against. Each case names its source and how far it can be trusted. */
export type CaseFile = 'textile' | 'appearance';

/**
 * `provenance`: 'read' (seen in the named source), 'computed-from-closed-form' (the source's formula worked out),
 * 'memory' (handbook knowledge not checked against a text).
 */
export interface ReferenceCase<Inputs = unknown, Expected = unknown> {
  readonly id: string;
  readonly topic: string;
  readonly inputs: Inputs;
  readonly expected: Expected;
  readonly tolerance: Tolerance;
  readonly source: string;
  readonly provenance: string;
}

/** As the case files have them; a case may add names of its own (`abs_epi`, `qualitative`). */
export type Tolerance = Readonly<Record<string, unknown>>;

const FILES: Record<CaseFile, readonly ReferenceCase[]> = {
  textile: textile as readonly ReferenceCase[],
  appearance: appearance as readonly ReferenceCase[],
};

export function caseById<Inputs, Expected>(file: CaseFile, id: string): ReferenceCase<Inputs, Expected> {
  const found = FILES[file].find((candidate) => candidate.id === id);
  if (!found) throw new Error(`No case ${id} in ${file}-cases.json.`);
  return found as ReferenceCase<Inputs, Expected>;
}

/** Every case whose topic begins with `topic`, for instance '04' or '04-cover-and-sett'. */
export function casesOfTopic(file: CaseFile, topic: string): readonly ReferenceCase[] {
  const found = FILES[file].filter((candidate) => candidate.topic.startsWith(topic));
  if (found.length === 0) throw new Error(`No case of topic ${topic} in ${file}-cases.json.`);
  return found;
}

/** Passes where |actual − expected| <= rel·|expected| or <= abs, whichever of the two the case gives and is wider. */
export function expectWithin(actual: number, expected: number, tolerance: Tolerance, what: string): void {
  const { rel, abs } = tolerance;
  if (typeof rel !== 'number' && typeof abs !== 'number')
    throw new Error(`${what}: the case gives no number to allow.`);
  const allowed = Math.max(typeof rel === 'number' ? rel * Math.abs(expected) : 0, typeof abs === 'number' ? abs : 0);
  const miss = Math.abs(actual - expected);
  // A hair above the tolerance is rounding of the printed number, not an error of ours.
  expect(miss <= allowed * (1 + 1e-9), `${what}: got ${actual}, expected ${expected} ± ${allowed}`).toBe(true);
}
