import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { draftFromDrawdown } from '#engine/draft/draftFromDrawdown.ts';
import type { Draft } from '#engine/draft/draftTypes.ts';
import { layersOf } from '#engine/weave/layers.ts';
import { backedFamilies } from './backedWeaves.ts';
import { unitFamilies } from './blockWeaves.ts';
import { layeredFamilies } from './layeredWeaves.ts';
import { patternFamilies } from './patternWeaves.ts';
import { plainFamilies, twillFamilies } from './plainAndTwills.ts';
import { reliefFamilies } from './reliefWeaves.ts';
import { type Family, RuleValues, type StructureRule } from './ruleParams.ts';
import { satinFamilies } from './satins.ts';
import type { Structure } from './structureTypes.ts';

/** Every rule by which the library makes structures. */
export const FAMILIES: readonly Family[] = [
  ...plainFamilies,
  ...twillFamilies,
  ...satinFamilies,
  ...reliefFamilies,
  ...unitFamilies,
  ...layeredFamilies,
  ...backedFamilies,
  ...patternFamilies,
];

/** @throws DraftError where there is no such rule; the message names those there are. */
export function familyOf(rule: string): Family {
  const family = FAMILIES.find((candidate) => candidate.rule === rule);
  if (family) return family;
  const known = FAMILIES.map((candidate) => candidate.rule).join(', ');
  throw new DraftError('nothing-there', WHOLE, `There is no rule "${rule}". Use one of ${known}.`);
}

/**
 * One repeat of a structure from its rule.
 * @throws DraftError where the rule is not there, or what is set in it makes no such structure.
 */
export function structureOf(rule: StructureRule): Structure {
  const family = familyOf(rule.rule);
  const structure = family.build(new RuleValues(rule, family.params));
  const { count } = layersOf(structure.drawdown);
  if (count === structure.layers) return structure;
  throw new DraftError(
    'sizes-do-not-fit',
    WHOLE,
    `Set so, "${rule.rule}" falls apart into ${count} layers in place of ${structure.layers}; give another line or other numbers.`,
  );
}

/**
 * The fewest shafts that weave a structure, with its threading and lifts.
 * @throws DraftError where it needs more than 64.
 */
export function draftOfStructure({ drawdown }: Structure): Draft {
  return draftFromDrawdown(drawdown);
}
