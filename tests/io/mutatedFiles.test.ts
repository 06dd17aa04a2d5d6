import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { jsonPath } from '#document/problem.ts';
import { readSampleJson, readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { smallSample, smallSampleFile } from '#tests/document/smallSample.ts';

const SEED = 20251;
const RUNS = 500;

function harbourSamples(): object[] {
  const folder = new URL('../../presets/samples/', import.meta.url);
  return readdirSync(folder).map((file) => JSON.parse(readFileSync(new URL(file, folder), 'utf8')));
}

interface Spot {
  readonly parent: Record<string, unknown> | unknown[];
  readonly key: string | number;
}

function spotsOf(value: unknown, out: Spot[] = []): Spot[] {
  if (typeof value !== 'object' || value === null) return out;
  for (const key of Array.isArray(value) ? value.keys() : Object.keys(value)) {
    out.push({ parent: value as Spot['parent'], key });
    spotsOf((value as Record<string | number, unknown>)[key], out);
  }
  return out;
}

const oddValue = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    '',
    0,
    -1,
    1e9,
    0.5,
    true,
    [],
    {},
    [[]],
    '__proto__',
    'forecloth-sample',
    '4 tar x0',
    'selvedge',
    'kelp',
  ),
  fc.integer(),
  fc.double({ noNaN: false }),
  fc.string(),
  fc.json().map((text) => JSON.parse(text)),
);

/** One random damage to a JSON tree: a value replaced, removed, doubled, moved or retyped, or a field added. */
function damage(file: unknown, at: number, kind: number, odd: unknown): void {
  const spots = spotsOf(file);
  const { parent, key } = spots[at % spots.length];
  const target = parent as Record<string | number, unknown>;
  if (kind === 0) target[key] = odd;
  else if (kind === 1 && Array.isArray(parent)) parent.splice(key as number, 1);
  else if (kind === 1) delete target[key];
  else if (kind === 2 && Array.isArray(parent)) parent.splice(key as number, 0, structuredClone(parent[key as number]));
  else if (kind === 2) target[`${key}${key}`] = target[key];
  else if (kind === 3 && typeof target[key] === 'number') target[key] = (target[key] as number) * -10;
  else if (kind === 3) target[key] = [target[key]];
  else {
    const other = spots[(at * 7919 + 1) % spots.length];
    target[key] = structuredClone((other.parent as Record<string | number, unknown>)[other.key]);
  }
}

describe('mutated files', () => {
  test(`${RUNS} damaged files load as valid samples or are refused with a place and a remedy (seed ${SEED})`, () => {
    const files: object[] = [smallSampleFile(), ...harbourSamples()];
    const counts = { loaded: 0, refused: 0 };
    const damages = fc.array(fc.tuple(fc.nat(100_000), fc.nat(4), oddValue), { minLength: 1, maxLength: 3 });
    fc.assert(
      fc.property(fc.nat(files.length - 1), damages, (which, list) => {
        const file = structuredClone(files[which]);
        for (const [at, kind, odd] of list) damage(file, at, kind, odd);
        const before = JSON.stringify(file);
        const outcome = readSampleJson(file);
        expect(JSON.stringify(file)).toBe(before);
        if (outcome.ok) {
          counts.loaded++;
          expect(readSampleText(writeSampleText(outcome.value))).toEqual(outcome);
        } else {
          counts.refused++;
          for (const problem of outcome.problems) {
            expect(problem.what).not.toBe('');
            expect(problem.remedy).not.toBe('');
            expect(problem.message).not.toMatch(/undefined|\[object|NaN\b.*NaN/);
            expect(jsonPath(problem.path)).toMatch(/^\$/);
          }
        }
      }),
      { seed: SEED, numRuns: RUNS },
    );
    // Were all of one kind, the damage would be too weak or too blunt to try the checks.
    expect(counts.loaded).toBeGreaterThan(RUNS / 50);
    expect(counts.refused).toBeGreaterThan(RUNS / 2);
  });

  test(`text cut short or with a character changed never throws (seed ${SEED})`, () => {
    const text = writeSampleText(smallSample());
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.string({ maxLength: 3 }), fc.boolean(), (at, piece, cut) => {
        const outcome = readSampleText(cut ? text.slice(0, at) : text.slice(0, at) + piece + text.slice(at + 1));
        if (!outcome.ok) expect(outcome.problems[0].message.length).toBeGreaterThan(10);
      }),
      { seed: SEED, numRuns: RUNS },
    );
  });
});
