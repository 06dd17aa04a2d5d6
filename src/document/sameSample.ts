import { bodyOf } from '#document/commands/versionCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';

/**
 * Whether two plain values are alike in all they hold. Parts shared by reference are not gone through, so that samples
 * that grew out of one another are told apart quickly; undo and files bring back alike parts that are not shared.
 */
export function alike(one: unknown, other: unknown): boolean {
  if (Object.is(one, other)) return true;
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  const a = one as Record<string, unknown>;
  const b = other as Record<string, unknown>;
  const keys = Object.keys(a).filter((key) => a[key] !== undefined);
  if (keys.length !== Object.keys(b).filter((key) => b[key] !== undefined).length) return false;
  return keys.every((key) => alike(a[key], b[key]));
}

/** Which of the kept versions the sample is just now, from 0; -1 where it is none of them. */
export function versionOnTable(sample: Sample): number {
  const body = bodyOf(sample);
  return sample.versions.findIndex((version) => alike(body, version.body));
}
