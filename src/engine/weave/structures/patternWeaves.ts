import { leastCommonMultiple } from '#engine/draft/repeats.ts';
import { complement, cycle, reverseEnds } from '#engine/draft/transformDrawdown.ts';
import { plainWeave, satin, shiftedLine } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { type Family, grid, line, list, type RuleValues, whole } from './ruleParams.ts';
import {
  checkRepeat,
  drawdownWhere,
  inTurn,
  isUp,
  modulo,
  type Structure,
  simple,
  type ThreadRole,
} from './structureTypes.ts';

const blockParams = {
  plan: grid('Plan of blocks (1: warp up)', '10/01'),
  ends: whole('Ends of a block', 16, 2, 256),
  picks: whole('Picks of a block', 16, 2, 256),
};

function inBlocks(values: RuleValues, weftFaced: Structure['drawdown'], warpFaced: Structure['drawdown']): Structure {
  const plan = values.grid('plan');
  const [ends, picks] = [values.whole('ends'), values.whole('picks')];
  checkRepeat(plan.length * picks, plan[0].length * ends);
  return simple(
    blockDrawdown(values.grid('plan'), [weftFaced, warpFaced], values.whole('ends'), values.whole('picks')),
  );
}

/**
 * Where the first stitch c of a satin lies so that it and its mirrored opposite cut at their joins: the last pick's stitch
 * c − move must be the mirror image n − 1 − c of the first one's.
 */
function cleanStart(ends: number, move: number): number {
  for (let start = 0; start < ends; start++) if (modulo(2 * start + 1 - move, ends) === 0) return start;
  return 0;
}

/** Counts of dark and pale threads in turn. */
function darkAndPale(counts: readonly number[]): ThreadRole[] {
  return counts.flatMap((count, k) => Array<ThreadRole>(count).fill(k % 2 === 0 ? 'dark' : 'pale'));
}

/** Dark and pale one and one, the other first in every second stripe. */
function cabinOrder(stripe: number): ThreadRole[] {
  return Array.from({ length: 2 * stripe }, (_, k) => ((k + Math.floor(k / stripe)) % 2 === 0 ? 'dark' : 'pale'));
}

export const patternFamilies: readonly Family[] = [
  {
    rule: 'turnedTwill',
    kind: 'turned blocks',
    params: { line: line('1/3'), ...blockParams },
    build: (values) => {
      const twill = shiftedLine(values.marks('line').map(Number), 1);
      return inBlocks(values, twill, complement(reverseEnds(twill)));
    },
  },
  {
    rule: 'turnedSatin',
    kind: 'turned blocks',
    params: { satin: whole('Ends of the satin', 5, 5, 16), move: whole('Move', 2, 2, 14), ...blockParams },
    build: (values) => {
      const [ends, move] = [values.whole('satin'), values.whole('move')];
      const sateen = cycle(satin(ends, move, 'weft'), 0, -cleanStart(ends, move));
      return inBlocks(values, sateen, complement(reverseEnds(sateen)));
    },
  },
  {
    rule: 'logCabin',
    kind: 'colour and weave',
    params: { ends: whole('Ends of a block', 8, 2, 64), picks: whole('Picks of a block', 8, 2, 64) },
    build: (values) => {
      const [ends, picks] = [cabinOrder(values.even('ends')), cabinOrder(values.even('picks'))];
      const plain = plainWeave();
      return {
        drawdown: drawdownWhere(picks.length, ends.length, (row, end) => isUp(plain, row, end)),
        ends,
        picks,
        layers: 1,
      };
    },
  },
  {
    rule: 'colourAndWeave',
    kind: 'colour and weave',
    params: {
      line: line('2/2'),
      ends: list('Dark and pale ends in turn', '4 4', 1, 64),
      picks: list('Dark and pale picks in turn', '4 4', 1, 64),
    },
    build: (values) => {
      const marks = values.marks('line');
      const [ends, picks] = [darkAndPale(values.list('ends')), darkAndPale(values.list('picks'))];
      const across = leastCommonMultiple(ends.length, marks.length);
      const along = leastCommonMultiple(picks.length, marks.length);
      const drawdown = drawdownWhere(along, across, (row, end) => marks[modulo(end - row, marks.length)]);
      return { drawdown, ends: inTurn(ends, across), picks: inTurn(picks, along), layers: 1 };
    },
  },
];
