import { beatResistance, firmnessOfResistance } from '#engine/cloth/spacing/beatLaw.ts';
import type { SampleBody } from './schema/sampleSchema.ts';

export interface BeatNeeded {
  /** Firmness of the picks without a beat of their own; beyond 0..1 no arm on a hand loom gives it. */
  readonly firmness: number;
  /** Of the pick that is beaten hardest. */
  readonly hardest: number;
}

/**
 * Firmness pick by pick, where picks per cm are fixed: all beats are raised or lowered by one factor of their resistance,
 * so that each pick keeps its own step to the others.
 * @param firmnessNeeded that of the mean resistance over all passes, as the forecast tells it
 */
export function beatNeeded({ beat, picks }: Pick<SampleBody, 'beat' | 'picks'>, firmnessNeeded: number): BeatNeeded {
  const asked = picks.flatMap((pick) => pick.passes.map(() => pick.beat ?? beat.firmness));
  const mean = asked.reduce((sum, firmness) => sum + beatResistance(firmness), 0) / asked.length;
  const step = firmnessNeeded - firmnessOfResistance(mean);
  return { firmness: beat.firmness + step, hardest: asked.reduce((most, each) => Math.max(most, each)) + step };
}
