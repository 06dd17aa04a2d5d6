import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type CaseFile, casesOfTopic } from './cases.ts';
import { COVERED, NOT_COVERED, TOPICS } from './coverage.ts';

const wanted = (Object.keys(TOPICS) as CaseFile[]).flatMap((file) =>
  TOPICS[file].flatMap((topic) => casesOfTopic(file, topic).map(({ id }) => id)),
);
const covered = Object.entries(COVERED).flatMap(([file, ids]) => ids.split(' ').map((id) => [file, id] as const));
const listed = [...covered.map(([, id]) => id), ...Object.keys(NOT_COVERED)];

describe('published cases', () => {
  it('are each tested, or left out with a reason', () => {
    expect(wanted.filter((id) => !listed.includes(id))).toEqual([]);
  });

  it('are listed once, and only if they exist', () => {
    expect(listed.filter((id, k) => listed.indexOf(id) !== k)).toEqual([]);
    expect(listed.filter((id) => !wanted.includes(id))).toEqual([]);
  });

  it.each(Object.keys(COVERED))('are named in %s', (file) => {
    const text = readFileSync(new URL(file, import.meta.url), 'utf8');
    const missing = covered.filter(([where, id]) => where === file && !text.includes(id)).map(([, id]) => id);
    expect(missing).toEqual([]);
  });

  it('that are left out have a reason of at least a sentence', () => {
    for (const [id, reason] of Object.entries(NOT_COVERED)) expect(reason, id).toMatch(/^[A-Z].{30,}\.$/);
  });
});
