import { describe, expect, it } from 'vitest';
import { flatThreads, seenAt } from '#app/cloth/flatThreads.ts';
import type { Side } from '#app/model/pose.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { sample } from '#tests/presets/presetFiles.ts';

/** A sample laid flat with its picks this far apart, mm. */
function laid(id: string, rowYMm: (row: number) => number) {
  const made = sampleCloth({ ...sample(id), versions: [] });
  if (!made.ok) throw new Error(made.trouble.why);
  const { problem } = made.value;
  const at = Float64Array.from({ length: problem.rows }, (_, row) => rowYMm(row));
  return { problem, at, threads: flatThreads(made.value, { endXMm: problem.endXMm, rowYMm: at }) };
}

const SIDES: readonly Side[] = ['face', 'back'];

describe('a cloth shown flat', () => {
  it('shows at each crossing the thread that the drawdown has uppermost, the other one on the back', () => {
    const { problem, at, threads } = laid('signal-gamp', (row) => 1.25 * row);
    for (let row = 0; row < problem.rows; row += 3) {
      for (let end = 0; end < problem.ends; end += 5) {
        const [warp, weft] = [threads.ends.light[end], threads.rows.light[row]];
        const up = isWarpUp(problem.drawdown, row, end);
        const seen = SIDES.map((side) => seenAt(threads, problem.endXMm[end], at[row], side));
        expect(seen).toEqual(up ? [warp, weft] : [weft, warp]);
      }
    }
  });

  it('leaves gaps where no thread lies, and nothing beside the cloth', () => {
    const { problem, at, threads } = laid('signal-gamp', (row) => 5 * row);
    const x = (problem.endXMm[10] + problem.endXMm[11]) / 2;
    expect(seenAt(threads, x, at[4] + 2.5, 'face')).toBeUndefined();
    expect(seenAt(threads, x, at[4], 'face')).toEqual(threads.rows.light[4]);
    expect(seenAt(threads, problem.endXMm[0] - 30, at[4], 'face')).toBeUndefined();
    expect(seenAt(threads, x, at[4] - 1000, 'face')).toBeUndefined();
  });

  it('of two picks at one place shows the upper layer’s from above and the lower one’s from below', () => {
    // Double plain: picks of both layers in turn, laid at one place two by two.
    const { problem, at, threads } = laid('float-pockets', (row) => Math.floor(row / 2));
    const weftAlone = (row: number, other: number, face: boolean) =>
      Array.from({ length: problem.ends }, (_, end) => end).filter(
        (end) => isWarpUp(problem.drawdown, row, end) !== face && isWarpUp(problem.drawdown, other, end) === face,
      );
    let looked = 0;
    for (let row = 0; row + 1 < problem.rows; row += 2) {
      for (const [one, other] of [
        [row, row + 1],
        [row + 1, row],
      ]) {
        for (const side of SIDES) {
          for (const end of weftAlone(one, other, side === 'face').slice(0, 3)) {
            expect(seenAt(threads, problem.endXMm[end], at[one], side)).toEqual(threads.rows.light[one]);
            looked++;
          }
        }
      }
    }
    expect(looked).toBeGreaterThan(20);
  });
});
