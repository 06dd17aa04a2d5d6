import { readdirSync, readFileSync } from 'node:fs';
import type { Outcome } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { readSampleText } from '#io/sampleFile.ts';

const folder = new URL('../../presets/', import.meta.url);

/** Preset files of a kind, by name. */
export function filesOf(kind: string): { id: string; text: string }[] {
  return readdirSync(new URL(`${kind}/`, folder))
    .sort()
    .map((file) => ({
      id: file.replace(/\.json$/, ''),
      text: readFileSync(new URL(`${kind}/${file}`, folder), 'utf8'),
    }));
}

/** The value, or the problems as an error. */
export function demand<Value>(outcome: Outcome<Value>): Value {
  if (outcome.ok) return outcome.value;
  throw new Error(outcome.problems.map(({ message }) => message).join('\n'));
}

export function card<Value>(kind: string, id: string, read: (json: unknown) => Outcome<Value>): Value {
  return demand(read(JSON.parse(filesOf(kind).find((file) => file.id === id)!.text)));
}

export const sample = (id: string): Sample =>
  demand(readSampleText(filesOf('samples').find((file) => file.id === id)!.text));
