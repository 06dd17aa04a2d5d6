import { checkPick } from '#document/check/checkSample.ts';
import type { DocumentProblem } from '#document/problem.ts';
import { pickSchema, type WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';

/** What would be wrong with the sample if this pick stood at `index` (from 0), as the file's checks say it; null: nothing. */
export function triedPickProblem(sample: Sample, index: number, pick: WeftPick): DocumentProblem | null {
  const picks = sample.picks.slice();
  picks[index] = pick;
  return fieldProblem(pickSchema, pick, ['picks', index]) ?? checkPick({ ...sample, picks }, index)[0] ?? null;
}
