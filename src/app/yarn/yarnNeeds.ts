import type { SampleCloth } from '#app/model/sampleCloth.ts';
import { type YarnNeeded, yarnNeeded } from '#document/yarnNeeded.ts';
import type { ForecastResult } from '#workers/protocol.ts';

const known = new WeakMap<ForecastResult, ReadonlyMap<string, YarnNeeded>>();

/** What the cloth on the table takes of each yarn; undefined until it is forecast. */
export function yarnNeeds(
  cloth: SampleCloth | undefined,
  result: ForecastResult | undefined,
): ReadonlyMap<string, YarnNeeded> | undefined {
  if (!cloth || !result) return undefined;
  let needs = known.get(result);
  if (!needs) {
    needs = yarnNeeded(cloth.problem, result.readings);
    known.set(result, needs);
  }
  return needs;
}
