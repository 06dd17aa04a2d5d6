import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { leastCommonMultiple } from '#engine/draft/repeats.ts';
import { complement } from '#engine/draft/transformDrawdown.ts';
import { hopsack, plainWeave, shiftedLine, thicken } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { choice, type Family, line, list, whole } from './ruleParams.ts';
import { drawdownWhere, inTurn, modulo, pointPlace, type Structure, simple } from './structureTypes.ts';

/** A twill line under ends drawn in, and picks lifted, in an order other than straight; places on the line, from 0. */
function drawnTwill(marks: readonly boolean[], ends: readonly number[], picks: readonly number[]): Structure {
  const up = (row: number, end: number) => marks[modulo(ends[end] - picks[row], marks.length)];
  return simple(drawdownWhere(picks.length, ends.length, up));
}

const straight = (count: number) => Array.from({ length: count }, (_, k) => k);

/** Half of a line: by so much a reversed stripe begins elsewhere, so that ends at the join cut where the line is balanced. */
const halfOf = (marks: readonly boolean[]) => Math.floor(marks.length / 2);

/** Runs up and down the line in turn, each begun half a line away, so that the join cuts. */
function reversedRuns(marks: readonly boolean[], run: number): number[] {
  const up = straight(run);
  return [...up, ...up.toReversed().map((place) => place + halfOf(marks))];
}

/** Runs up the line, each begun half a line further, until they come round. */
function onwardRuns(marks: readonly boolean[], run: number): number[] {
  const n = marks.length;
  const step = run + halfOf(marks);
  const runs = leastCommonMultiple(n, step) / step;
  return Array.from({ length: runs }, (_, k) => straight(run).map((place) => place + k * step)).flat();
}

/** Places of a line, each held for several threads in turn, until line and holds come round together. */
function heldPlaces(length: number, holds: readonly number[]): number[] {
  const places = leastCommonMultiple(length, holds.length);
  return straight(places).flatMap((place) => Array<number>(holds[place % holds.length]).fill(place));
}

export const plainFamilies: readonly Family[] = [
  { rule: 'plain', kind: 'plain', params: {}, build: () => simple(plainWeave()) },
  {
    rule: 'rib',
    kind: 'ribs and cords',
    params: { along: choice('Ribs', 'across the cloth', 'along the cloth'), line: line('2/2', 'Threads in each shed') },
    build: (values) => {
      const marks = values.marks('line');
      const across = values.choice('along') === 'across the cloth';
      const up = (row: number, end: number) => (across ? marks[row] === (end === 0) : marks[end] === (row === 0));
      return simple(drawdownWhere(across ? marks.length : 2, across ? 2 : marks.length, up));
    },
  },
  {
    rule: 'rep',
    kind: 'ribs and cords',
    params: { ends: whole('Ends of a block', 8, 2, 64), picks: whole('Picks of a block', 8, 2, 64) },
    build: (values) => {
      const [ends, picks] = [values.even('ends'), values.even('picks')];
      const plain = plainWeave();
      const plan = [
        [0, 1],
        [1, 0],
      ];
      return {
        drawdown: blockDrawdown(plan, [plain, complement(plain)], ends, picks),
        ends: inTurn(['dark', 'pale'], 2 * ends),
        picks: inTurn(['thick', 'thin'], 2 * picks),
        layers: 1,
      };
    },
  },
  {
    rule: 'hopsack',
    kind: 'hopsack',
    params: { ends: whole('Ends together', 2, 1, 8), picks: whole('Picks together', 2, 1, 8) },
    build: (values) => simple(hopsack(values.whole('ends'), values.whole('picks'))),
  },
  {
    rule: 'twillHopsack',
    kind: 'hopsack',
    params: { line: line('2/1'), ends: whole('Ends together', 2, 1, 8), picks: whole('Picks together', 2, 1, 8) },
    build: (values) => {
      const marks = values.marks('line').map(Number);
      return simple(thicken(shiftedLine(marks, 1), values.whole('ends'), values.whole('picks')));
    },
  },
];

const stepParam = whole('Ends onward each pick (below 0: to the left)', 1, -16, 16);

export const twillFamilies: readonly Family[] = [
  {
    rule: 'twill',
    kind: 'twill',
    params: { line: line('2/2'), step: stepParam },
    build: (values) => {
      const marks = values.marks('line').map(Number);
      const step = values.whole('step');
      if (step % marks.length !== 0) return simple(shiftedLine(marks, step));
      throw new DraftError(
        'sizes-do-not-fit',
        WHOLE,
        `A step of ${step} leaves a line of ${marks.length} where it is; give another.`,
      );
    },
  },
  {
    rule: 'steepTwill',
    kind: 'twill',
    params: { line: line('5/2/1/2'), rise: whole('Picks upward each end', 2, 1, 16) },
    build: (values) => {
      const marks = values.marks('line');
      const rise = values.whole('rise');
      const n = marks.length;
      if (rise % n === 0) {
        throw new DraftError(
          'sizes-do-not-fit',
          WHOLE,
          `A rise of ${rise} leaves a line of ${n} where it is; give another.`,
        );
      }
      const ends = leastCommonMultiple(n, rise) / rise;
      return drawnTwill(
        marks,
        straight(ends).map((end) => end * rise),
        straight(n),
      );
    },
  },
  {
    rule: 'pointedTwill',
    kind: 'twill',
    params: {
      line: line('2/2'),
      reach: whole('Ends from point to point', 8, 2, 64),
      picks: choice('Picks', 'straight: zigzag', 'pointed: diamonds'),
    },
    build: (values) => {
      const marks = values.marks('line');
      const reach = values.whole('reach');
      const point = straight(2 * (reach - 1)).map((k) => pointPlace(k, reach));
      return drawnTwill(marks, point, values.choice('picks').startsWith('pointed') ? point : straight(marks.length));
    },
  },
  {
    rule: 'brokenTwill',
    kind: 'twill',
    params: {
      line: line('1/3'),
      run: whole('Ends before each break', 2, 1, 64),
      runs: choice('After the break', 'the other way', 'onward'),
    },
    build: (values) => {
      const marks = values.marks('line');
      const run = values.whole('run');
      const ends = values.choice('runs') === 'onward' ? onwardRuns(marks, run) : reversedRuns(marks, run);
      return drawnTwill(marks, ends, straight(marks.length));
    },
  },
  {
    rule: 'herringbone',
    kind: 'twill',
    params: { line: line('2/2'), run: whole('Ends of a stripe', 8, 2, 64) },
    build: (values) => {
      const marks = values.marks('line');
      return drawnTwill(marks, reversedRuns(marks, values.whole('run')), straight(marks.length));
    },
  },
  {
    rule: 'undulatingTwill',
    kind: 'twill',
    params: {
      line: line('3/3/1/1'),
      holds: list('Threads at each place of the line', '1 1 1 2 2 2 1 1', 1, 8),
      along: choice('Held', 'ends', 'picks'),
    },
    build: (values) => {
      const marks = values.marks('line');
      const held = heldPlaces(marks.length, values.list('holds'));
      return values.choice('along') === 'ends'
        ? drawnTwill(marks, held, straight(marks.length))
        : drawnTwill(marks, straight(marks.length), held);
    },
  },
];
