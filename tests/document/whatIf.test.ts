import { describe, expect, test } from 'vitest';
import { sampleFromFile, sampleToFile } from '#document/sampleFromFile.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { keepWhatIf, picksBack, sampleWithFault, type WhatIf } from '#document/whatIf.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { smallSample, smallSampleFile } from './smallSample.ts';

/** Rows as text, end 1 first, # where the warp is up. */
function rowsOf(body: SampleBody): string[] {
  const { drawdown, rows, ends } = toClothProblem(body).problem;
  return Array.from({ length: rows }, (_, row) =>
    Array.from({ length: ends }, (_, end) => (isWarpUp(drawdown, row, end) ? '#' : '.')).join(''),
  );
}

function woven(fault: WhatIf, sample: Sample = smallSample()): SampleBody {
  const body = sampleWithFault(sample, fault);
  if ('message' in body) throw new Error(body.message);
  return body;
}

/** Crossings, [row, end] from 0, at which two cloths of one size differ. */
function differing(before: readonly string[], after: readonly string[]): [number, number][] {
  return before.flatMap((row, j) =>
    [...row].flatMap((mark, i): [number, number][] => (after[j][i] === mark ? [] : [[j, i]])),
  );
}

describe('what a fault at the loom makes of the cloth', () => {
  const right = rowsOf(smallSample());

  test('an end skipped in one lift: one crossing, in every pass of that shed', () => {
    expect(differing(right, rowsOf(woven({ kind: 'skippedEnd', pick: 3, end: 7 })))).toEqual([[2, 6]]);
    // Pick 5 has two passes in one shed.
    expect(differing(right, rowsOf(woven({ kind: 'skippedEnd', pick: 5, end: 7 })))).toEqual([
      [4, 6],
      [5, 6],
    ]);
  });

  test('a shaft that does the opposite moves all its ends, on that pick alone', () => {
    const found = differing(right, rowsOf(woven({ kind: 'wrongLift', pick: 2, number: 3 })));
    expect(found).toEqual([
      [1, 2],
      [1, 10],
      [1, 18],
    ]);
  });

  test('a pick left out or woven twice', () => {
    const without = rowsOf(woven({ kind: 'pickLeftOut', pick: 2 }));
    expect(without).toEqual([...right.slice(0, 1), ...right.slice(2)]);
    const twice = rowsOf(woven({ kind: 'pickDoubled', pick: 2 }));
    expect(twice).toEqual([...right.slice(0, 2), right[1], ...right.slice(2)]);
  });

  test('crossed ends change places in the threading and keep their colours', () => {
    const crossed = woven({ kind: 'crossedEnds', end: 3 });
    expect(rowsOf(crossed).map((row) => row.slice(0, 5))).toEqual(
      right.map((row) => `${row.slice(0, 2)}${row[3]}${row[2]}${row[4]}`),
    );
    expect([...toClothProblem(crossed).problem.endYarn]).toEqual([...toClothProblem(smallSample()).problem.endYarn]);
  });

  test('a broken end hangs behind from there to where it was mended', () => {
    const found = rowsOf(woven({ kind: 'brokenEnd', end: 7, fromPick: 3, toPick: 9 })).map((row) => row[6]);
    expect(found.join('')).toBe(right.map((row, j) => (j >= 2 && j <= 9 ? '.' : row[6])).join(''));
    expect(rowsOf(woven({ kind: 'brokenEnd', end: 7, fromPick: 3 })).at(-1)?.[6]).toBe('.');
  });

  test('an end in its neighbour’s dent lies closer to it, and leaves room on its other side', () => {
    const gaps = (body: SampleBody) => {
      const { reedXMm } = toClothProblem(body).problem;
      return Array.from(reedXMm ?? []).flatMap((x, k, all) => (k === 0 ? [] : [x - all[k - 1]]));
    };
    const [was, is] = [gaps(smallSample()), gaps(woven({ kind: 'sharedDent', end: 9 }))];
    // Two ends to a dent: end 9 is the first of its dent, and ends 7, 8 and 9 now share one.
    expect(is[7]).toBeLessThan(was[7]);
    expect(is[8]).toBeGreaterThan(was[8]);
    expect(is.slice(10)).toEqual(was.slice(10));
    expect(toClothProblem(woven({ kind: 'sharedDent', end: 9 })).problem.ends).toBe(24);
  });

  test('a weft in the wrong layer of a double plain cloth takes the shed of the other one’s nearest pick', () => {
    const file = smallSampleFile();
    // Odd ends and picks are the face, even ones the back: each cloth plain.
    const lifts = [
      [1, 5],
      [1, 3, 5, 7, 2, 6],
      [3, 7],
      [1, 3, 5, 7, 4, 8],
    ];
    file.picks = Array.from({ length: 12 }, (_, k) => ({
      lift: [...lifts[k % 4]].sort((a, b) => a - b),
      passes: [{ strands: ['kelp'], enters: k % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
    }));
    file.versions = [];
    const outcome = sampleFromFile(file);
    if (!outcome.ok) throw new Error(outcome.problems[0].message);
    expect(woven({ kind: 'wrongLayer', pick: 5 }, outcome.value).picks[4].lift).toEqual([1, 2, 3, 5, 6, 7]);
    expect(woven({ kind: 'wrongLayer', pick: 12 }, outcome.value).picks[11].lift).toEqual([3, 7]);
  });

  test('what cannot be is refused, and says what to choose', () => {
    const refused = (fault: WhatIf) => {
      const body = sampleWithFault(smallSample(), fault);
      return 'message' in body ? body.message : 'woven';
    };
    expect(refused({ kind: 'skippedEnd', pick: 3, end: 25 })).toMatch(/no end 25.*1 to 24/);
    expect(refused({ kind: 'pickLeftOut', pick: 13 })).toMatch(/no pick 13.*1 to 12/);
    expect(refused({ kind: 'wrongLift', pick: 1, number: 9 })).toMatch(/no shaft 9.*1 to 8/);
    expect(refused({ kind: 'crossedEnds', end: 24 })).toMatch(/no end after 24/);
  });

  test('picks to take back: from the fault to the last pick woven', () => {
    expect(picksBack({ kind: 'skippedEnd', pick: 10, end: 1 }, 24)).toBe(15);
    expect(picksBack({ kind: 'pickLeftOut', pick: 10 }, 24)).toBe(14);
    expect(picksBack({ kind: 'crossedEnds', end: 10 }, 24)).toBe(24);
    expect(picksBack({ kind: 'skippedEnd', pick: 30, end: 1 }, 24)).toBe(0);
  });
});

describe('a fault kept beside the sample', () => {
  test('is one undoable step, replaces itself, and is the same after a file', () => {
    const store = createSampleStore(smallSample());
    const fault: WhatIf = { kind: 'skippedEnd', pick: 3, end: 7 };
    expect(store.dispatch(keepWhatIf(fault))).toBeNull();
    expect(store.dispatch(keepWhatIf(fault))).toBeNull();
    const { sample } = store.state.getState();
    expect(sample.versions.map(({ name }) => name)).toEqual(['looser', 'What if: end 7 skipped at pick 3']);
    expect(sample.faults).toBeUndefined();
    const again = sampleFromFile(JSON.parse(JSON.stringify(sampleToFile(sample))));
    expect(again.ok && rowsOf(again.value.versions[1].body)).toEqual(rowsOf(woven(fault)));
    store.undo();
    store.undo();
    expect(store.state.getState().sample.versions).toHaveLength(1);
  });
});

describe('known faults of a loom', () => {
  function onLoom(fault: object): string[] {
    const file = smallSampleFile();
    Object.assign(file.loom, { knownFaults: [{ note: 'hook is bent', ...fault }] });
    const outcome = sampleFromFile(file);
    if (!outcome.ok) throw new Error(outcome.problems[0].message);
    return rowsOf(outcome.value);
  }
  const right = rowsOf(smallSample());

  test('show in every cloth woven on it where they have an effect, and not where they are only noted', () => {
    expect(onLoom({ shaft: 3 })).toEqual(right);
    expect(onLoom({ shaft: 3, effect: 'staysDown' }).every((row) => row[2] === '.' && row[10] === '.')).toBe(true);
    expect(onLoom({ shaft: 3, effect: 'staysUp' }).every((row) => row[2] === '#' && row[18] === '#')).toBe(true);
    const heald = onLoom({ end: 11, effect: 'staysDown' });
    expect(differing(right, heald).every(([, end]) => end === 10)).toBe(true);
    expect(heald.every((row) => row[10] === '.')).toBe(true);
  });

  test('an effect without a place, or of the wrong kind, is refused', () => {
    expect(() => onLoom({ effect: 'staysUp' })).toThrow(/names no shaft, treadle or end/);
    expect(() => onLoom({ shaft: 3, effect: 'movesNothing' })).toThrow(/as a treadle does/);
  });

  test('a fault at an end or pick that is not there is refused, and says where', () => {
    const file = { ...smallSampleFile(), faults: [{ kind: 'skippedEnd', pick: 40, end: 1 }] };
    const outcome = sampleFromFile(file);
    expect(outcome.ok ? '' : outcome.problems[0].message).toMatch(/Fault 1: is at pick 40, but there are 12/);
  });
});
