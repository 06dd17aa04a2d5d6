import { checkLoom, checkWarp } from '#document/check/checkSample.ts';
import { weaveDraft } from '#document/notation/weaveDraft.ts';
import type { Outcome } from '#document/problem.ts';
import { type LoomCard, loomSchema } from '#document/schema/loomSchema.ts';
import { validate } from '#document/schema/validate.ts';
import { type WarpCard, warpSchema } from '#document/schema/warpSchema.ts';
import { type WeaveCard, weaveSchema } from '#document/schema/weaveSchema.ts';
import { type YarnCard, yarnSchema } from '#document/schema/yarnSchema.ts';
import { loomFormat, warpFormat, weaveFormat, yarnFormat } from './migrations/formats.ts';
import { migrate } from './migrations/migrate.ts';
import { migrateYarns } from './migrations/migrateCards.ts';

/** Loom, warp, yarn and weave cards as files of their own, from parsed JSON: migrated and validated like a sample. */

export function readYarnCard(json: unknown): Outcome<YarnCard> {
  const file = migrate(json, yarnFormat);
  return file.ok ? validate(yarnSchema, file.value) : file;
}

export function readLoomCard(json: unknown): Outcome<LoomCard> {
  const file = migrate(json, loomFormat);
  if (!file.ok) return file;
  const card = validate(loomSchema, file.value);
  if (!card.ok) return card;
  const problems = checkLoom(card.value);
  return problems.length > 0 ? { ok: false, problems } : card;
}

/** A warp's file carries its yarns. Where its loom is at hand, the warp is checked against it as well. */
export function readWarpCard(json: unknown, loom: LoomCard | null = null): Outcome<WarpCard> {
  const file = migrate(json, warpFormat);
  if (!file.ok) return file;
  const yarns = migrateYarns(file.value.yarns, ['yarns']);
  if (!yarns.ok) return yarns;
  const whole = file.value.yarns === undefined ? file.value : { ...file.value, yarns: yarns.value };
  const card = validate(warpSchema, whole);
  if (!card.ok) return card;
  const problems = checkWarp(card.value, loom, card.value.yarns ?? {});
  return problems.length > 0 ? { ok: false, problems } : card;
}

export function readWeaveCard(json: unknown): Outcome<WeaveCard> {
  const file = migrate(json, weaveFormat);
  if (!file.ok) return file;
  const card = validate(weaveSchema, file.value);
  if (!card.ok) return card;
  const draft = weaveDraft(card.value);
  return draft.ok ? card : draft;
}
