import { describe, expect, it } from 'vitest';
import { MM_OF_UNIT } from '#io/interchange/interchangeDraft.ts';
import { readSections } from '#io/interchange/interchangeSections.ts';
import { booleanOf } from '#io/interchange/interchangeValues.ts';
import { readInterchange } from '#io/interchange/readInterchange.ts';
import { liftsOfDraft } from '#io/interchange/singleThreading.ts';
import { writeInterchange } from '#io/interchange/writeInterchange.ts';
import { caseById, expectWithin } from './cases.ts';

// Weaving Information File specification 1.1 (1997), an open interchange specification; cases of topic 10.

interface Draft {
  readonly threading: number[];
  readonly tieup: Record<string, number[]>;
  readonly treadling: number[];
  readonly rising_shed: boolean;
}

function fileOf(sections: string): string {
  return `[WIF]\nVersion=1.1\nDate=April 20, 1997\nDevelopers=x\n[CONTENTS]\n${sections}`;
}

function draftOf(text: string) {
  const outcome = readInterchange(text);
  if (!outcome.ok) throw new Error(outcome.problems[0].message);
  return outcome.value.draft;
}

describe('the draft interchange format', () => {
  it('WF-01: files say version and date of the specification', () => {
    const { inputs, expected } = caseById<{ spec: string }, { date: string }>('textile', 'WF-01');
    const twill = fileOf(
      '[WEAVING]\nShafts=1\n[WARP]\nThreads=1\n[WEFT]\nThreads=1\n[THREADING]\n1=1\n[LIFTPLAN]\n1=1\n',
    );
    const head = writeInterchange(draftOf(twill)).split('\r\n').slice(0, 4);
    expect(head).toContain(`Version=${inputs.spec.replace('WIF ', '')}`);
    expect(head).toContain(`Date=${expected.date}`);
  });

  it('WF-03: threading, tie-up and treadling give the lift plan', () => {
    const { inputs, expected } = caseById<Draft, { liftplan: number[][] }>('textile', 'WF-03');
    const listed = (lists: readonly (number | number[])[]) => lists.map((list, i) => `${i + 1}=${list}`).join('\n');
    const ties = Object.entries(inputs.tieup).map(([treadle, shafts]) => `${treadle}=${shafts}`);
    const text = fileOf(
      [
        `[WEAVING]\nShafts=4\nTreadles=${ties.length}\nRising Shed=${inputs.rising_shed}`,
        '[WARP]\nThreads=4\n[WEFT]\nThreads=4',
        `[THREADING]\n${listed(inputs.threading)}`,
        `[TIEUP]\n${ties.join('\n')}`,
        `[TREADLING]\n${listed(inputs.treadling)}`,
      ].join('\n'),
    );
    expect(liftsOfDraft(draftOf(text))).toEqual(expected.liftplan);
  });

  it('WF-05: units of length', () => {
    const { inputs, expected, tolerance } = caseById<{ units: string[]; value: number[] }, { mm: number[] }>(
      'textile',
      'WF-05',
    );
    inputs.units.forEach((unit, i) => {
      const mm = inputs.value[i] * MM_OF_UNIT[unit.toLowerCase() as keyof typeof MM_OF_UNIT];
      expectWithin(mm, expected.mm[i], tolerance, unit);
    });
  });

  it('WF-07: words for yes and no', () => {
    const { inputs, expected } = caseById<{ booleans: string[] }, { parsed: boolean[] }>('textile', 'WF-07');
    const parsed = inputs.booleans.map((value) => booleanOf({ key: 'profile', value, line: 1 }));
    expect(parsed).toEqual(expected.parsed);
  });

  it('WF-08: a line of the lift plan', () => {
    const { inputs, expected } = caseById<{ liftplan_line: string; shafts: number }, { pick: number; up: number[] }>(
      'textile',
      'WF-08',
    );
    expect(readSections(`[LIFTPLAN]\n${inputs.liftplan_line}`).ok).toBe(true);
    const text = fileOf(
      `[WEAVING]\nShafts=${inputs.shafts}\n[WARP]\nThreads=1\n[WEFT]\nThreads=3\n[THREADING]\n1=1\n[LIFTPLAN]\n${inputs.liftplan_line}\n`,
    );
    expect(liftsOfDraft(draftOf(text))[expected.pick - 1]).toEqual(expected.up);
  });
});
