import { describe, expect, it } from 'vitest';
import { distinctEnds } from '#engine/draft/distinct.ts';
import { createDrawdown, type Drawdown, drawdownFromRows } from '#engine/draft/drawdown.ts';
import { sameDrawdown } from '#engine/draft/transformDrawdown.ts';
import {
  hopsack,
  plainWeave,
  satin,
  satinCounters,
  satinMoves,
  shiftedLine,
  thicken,
  twill,
} from '#engine/weave/basicWeaves.ts';
import { measureFloats } from '#engine/weave/floats.ts';
import { weaveFirmness } from '#engine/weave/interlacement.ts';
import { hangsTogether } from '#engine/weave/layers.ts';
import { weaveClass } from '#engine/weave/weaveClass.ts';
import { caseById, expectWithin } from './cases.ts';

/** A drawdown whose rows are the bits of the numbers, end 1 in bit 0. */
function fromNumbers(rows: readonly number[], ends: number): Drawdown {
  const drawdown = createDrawdown(rows.length, ends);
  drawdown.bits.set(rows);
  return drawdown;
}

const lineBits = (line: number, n: number) => Array.from({ length: n }, (_, k) => (line >>> k) & 1);

/** Lines of n ends that change side, one for each way round that they can be begun (the least number of them). */
function linesOf(n: number): number[] {
  const lines: number[] = [];
  for (let line = 1; line < 2 ** n - 1; line++) {
    let turned = line;
    let least = true;
    for (let k = 1; k < n && least; k++) {
      turned = (turned >>> 1) | ((turned & 1) << (n - 1));
      least = turned >= line;
    }
    if (least) lines.push(line);
  }
  return lines;
}

describe('satins', () => {
  it('WT-01: counters (Wolfensberger 1921)', () => {
    const { inputs, expected } = caseById<{ harness: number[] }, { satin_counters: number[][] }>('textile', 'WT-01');
    expect(inputs.harness.map(satinCounters)).toEqual(expected.satin_counters);
  });

  it('WT-03: lift order of the five-stave satin (Brooks)', () => {
    const { expected } = caseById<unknown, { lift_order: number[] }>('textile', 'WT-03');
    const weave = satin(5, 2, 'weft');
    // One end is up on each pick: its number is the stave lifted in a straight draw.
    expect([...weave.bits].map((row) => Math.log2(row) + 1)).toEqual(expected.lift_order);
  });

  it('WT-04: numbers of moves', () => {
    const { inputs, expected } = caseById<
      { n: number[] },
      { number_of_moves_phi_minus_2: number[]; mirror_classes: number[] }
    >('textile', 'WT-04');
    expect(inputs.n.map((n) => satinMoves(n).length)).toEqual(expected.number_of_moves_phi_minus_2);
    expect(inputs.n.map((n) => satinCounters(n).length)).toEqual(expected.mirror_classes);
  });
});

describe('twills counted as weaves (Grünbaum & Shephard; Hoskins, Praeger & Street)', () => {
  it('WT-06: distinct twills of period n', () => {
    const { inputs, expected } = caseById<{ n: number[] }, { distinct_twills_period_n: number[] }>('textile', 'WT-06');
    // A twill is its line carried round, so lines are counted; where the whole weave is small it is counted as well.
    inputs.n.forEach((n, k) => {
      const lines = new Set<string>();
      const weaves = new Set<string>();
      for (const line of linesOf(n)) {
        lines.add(weaveClass(fromNumbers([line], n)));
        if (n <= 6) weaves.add(weaveClass(shiftedLine(lineBits(line, n), 1)));
      }
      expect(lines.size, `period ${n}`).toBe(expected.distinct_twills_period_n[k]);
      if (n <= 6) expect(weaves.size, `weaves of period ${n}`).toBe(expected.distinct_twills_period_n[k]);
    });
  });

  it('WT-08: balanced twills', () => {
    const { inputs, expected } = caseById<{ shafts: number[] }, { balanced_twills: number[] }>('textile', 'WT-08');
    inputs.shafts.forEach((n, k) => {
      const lines = new Set<string>();
      for (const line of linesOf(n)) {
        const up = lineBits(line, n).reduce((sum, bit) => sum + bit, 0);
        if (2 * up === n) lines.add(weaveClass(fromNumbers([line], n)));
      }
      expect(lines.size, `${n} shafts`).toBe(expected.balanced_twills[k]);
    });
  });
});

describe('holding together (Clapham 1980)', () => {
  it('WT-13: weaves that do and do not', () => {
    const { inputs, expected } = caseById<
      { matrices_rows_are_picks_1_is_warp_up: Record<string, number[][]> },
      { hangs_together: Record<string, boolean> }
    >('textile', 'WT-13');
    const matrices = inputs.matrices_rows_are_picks_1_is_warp_up;
    expect(Object.keys(matrices)).toEqual(Object.keys(expected.hangs_together));
    for (const [name, rows] of Object.entries(matrices)) {
      expect(hangsTogether(drawdownFromRows(rows)), name).toBe(expected.hangs_together[name]);
    }
    const drawn = matrices['8-end weft satin'];
    expect(sameDrawdown(drawdownFromRows(drawn), satin(8, 3, 'weft'))).toBe(true);
  });

  it('WT-11: numbers of m × n weaves that do', () => {
    const { inputs, expected } = caseById<{ m_x_n: string[] }, { no_uniform_line: number[]; hang_together: number[] }>(
      'textile',
      'WT-11',
    );
    inputs.m_x_n.forEach((size, k) => {
      // The order of picks does not matter here, so sets of picks are tried with the number of their orders, and the
      // longer side is taken as the picks: turning the cloth on its side changes neither number.
      const [ends, picks] = size.split('x').map(Number);
      let together = 0;
      let noUniformLine = 0;
      forEachMultiset(2 ** ends, picks, (rows, orders) => {
        const weave = fromNumbers(rows, ends);
        if (hangsTogether(weave)) together += orders;
        const all = 2 ** ends - 1;
        const uniformPick = rows.some((row) => row === 0 || row === all);
        const uniformEnd = rows.reduce((a, b) => a & b) !== 0 || rows.reduce((a, b) => a | b) !== all;
        if (!uniformPick && !uniformEnd) noUniformLine += orders;
      });
      expect(together, `${size} hang together`).toBe(expected.hang_together[k]);
      expect(noUniformLine, `${size} without a uniform line`).toBe(expected.no_uniform_line[k]);
    });
  });

  it('WT-10: weaves on four shafts that do, counted once however they are begun or mirrored', () => {
    const { inputs, expected } = caseById<
      { shafts: number; rows: number[] },
      { weave_classes_hang_together: number[] }
    >('textile', 'WT-10');
    const n = inputs.shafts;
    inputs.rows.forEach((picks, k) => {
      let classes = 0;
      forEachOrbit(picks, n, (rows) => {
        if (hangsTogether(fromNumbers(rows, n))) classes++;
      });
      expect(classes, `${picks} picks`).toBe(expected.weave_classes_hang_together[k]);
    });
    const named = new Set<string>();
    for (let code = 0; code < 2 ** (3 * n); code++) {
      const weave = fromNumbers([code & 15, (code >>> 4) & 15, code >>> 8], n);
      if (hangsTogether(weave)) named.add(weaveClass(weave, true));
    }
    expect(named.size).toBe(expected.weave_classes_hang_together[1]);
  });
});

describe('firmness and floats', () => {
  it('WT-15: crossing-over firmness, floating yarn and longest float (Morino, Matsudaira & Furutani 2005)', () => {
    const { inputs, expected } = caseById<
      { weaves: string[] },
      { crossing_over_firmness_factor: number[]; floating_yarn_factor: number[]; max_float: number[] }
    >('textile', 'WT-15');
    const drawdowns: Record<string, Drawdown> = {
      plain: plainWeave(),
      '2/1 twill': twill([2, 1]),
      '2/2 twill': twill([2, 2]),
      '3/1 twill': twill([3, 1]),
      '2/2 hopsack': hopsack(2),
      '5-end satin': satin(5, 2, 'warp'),
      '8-end satin': satin(8, 3, 'warp'),
    };
    // The case prints factors to six digits: half a unit in the last.
    const printed = { abs: 5e-6 };
    inputs.weaves.forEach((name, k) => {
      const { crossingOverFirmness, floatingYarn } = weaveFirmness(drawdowns[name]);
      expectWithin(crossingOverFirmness, expected.crossing_over_firmness_factor[k], printed, name);
      expectWithin(floatingYarn, expected.floating_yarn_factor[k], printed, name);
      const { warpOnFace, weftOnFace } = measureFloats(drawdowns[name]);
      expect(Math.max(warpOnFace.longest, weftOnFace.longest), name).toBe(expected.max_float[k]);
    });
  });

  it('WT-18: three-leaf twill sacking with a double warp still needs three leaves', () => {
    const { expected } = caseById<unknown, { ends_per_design_column: number; leaves: number }>('textile', 'WT-18');
    const sacking = thicken(twill([2, 1]), expected.ends_per_design_column, 1);
    expect(sacking.ends).toBe(6);
    expect(distinctEnds(sacking).firstOf.length).toBe(expected.leaves);
  });
});

/** Every multiset of `size` numbers below `values`, ascending, with the number of its orders. */
function forEachMultiset(
  values: number,
  size: number,
  visit: (chosen: readonly number[], orders: number) => void,
): void {
  const chosen: number[] = [];
  const go = (from: number, orders: number, repeats: number) => {
    if (chosen.length === size) {
      visit(chosen, orders);
      return;
    }
    for (let value = from; value < values; value++) {
      const again = chosen.length > 0 && value === chosen[chosen.length - 1] ? repeats + 1 : 1;
      chosen.push(value);
      go(value, (orders * chosen.length) / again, again);
      chosen.pop();
    }
  };
  go(0, 1, 0);
}

/** One weave of every class under beginning elsewhere and mirroring, found by walking from weave to weave. */
function forEachOrbit(picks: number, ends: number, visit: (rows: readonly number[]) => void): void {
  const width = 2 ** ends;
  const seen = new Uint8Array(width ** picks);
  const turn = (row: number) => (row >>> 1) | ((row & 1) << (ends - 1));
  const mirror = (row: number) => lineBits(row, ends).reduce((sum, bit) => 2 * sum + bit, 0);
  const mirrored = Array.from({ length: width }, (_, row) => mirror(row));
  const codeOf = (rows: readonly number[]) => rows.reduce((sum, row) => sum * width + row, 0);
  for (let code = 0; code < seen.length; code++) {
    if (seen[code]) continue;
    const first = Array.from({ length: picks }, (_, k) => Math.floor(code / width ** (picks - 1 - k)) % width);
    visit(first);
    seen[code] = 1;
    const waiting = [first];
    for (let rows = waiting.pop(); rows !== undefined; rows = waiting.pop()) {
      const neighbours = [
        [...rows.slice(1), rows[0]],
        rows.map(turn),
        rows.map((row) => mirrored[row]),
        rows.toReversed(),
      ];
      for (const neighbour of neighbours) {
        const other = codeOf(neighbour);
        if (seen[other]) continue;
        seen[other] = 1;
        waiting.push(neighbour);
      }
    }
  }
}
