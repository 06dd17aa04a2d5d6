import { expect, it } from 'vitest';
import { toClothProblem } from '#document/toClothProblem.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { filesOf, sample } from './presetFiles.ts';

/** Share of crossings whose neighbours up and to the right both lie on the other side. */
function plainShare({ drawdown, rows, ends }: ClothProblem): number {
  let plain = 0;
  for (let row = 0; row + 1 < rows; row++) {
    for (let end = 0; end + 1 < ends; end++) {
      const up = isWarpUp(drawdown, row, end);
      if (up !== isWarpUp(drawdown, row, end + 1) && up !== isWarpUp(drawdown, row + 1, end)) plain++;
    }
  }
  return plain / ((rows - 1) * (ends - 1));
}

/** Contact widths of neighbouring ends over the room that they have, at the worst place. */
function crowding({ yarns, endYarn, endXMm, ends }: ClothProblem): number {
  let worst = 0;
  for (let end = 0; end + 1 < ends; end++) {
    const needMm = (yarns[endYarn[end]].contactWidthMm + yarns[endYarn[end + 1]].contactWidthMm) / 2;
    worst = Math.max(worst, needMm / (endXMm[end + 1] - endXMm[end]));
  }
  return worst;
}

/** Warp-faced rep: ends press one another narrow on purpose, up to a third (common practice: the weft must not show). */
const WARP_FACED: ReadonlySet<string> = new Set(['mooring-ring']);

it('no preset with plain cloth in it is set closer than its ends’ contact widths allow, but for warp-faced rep', () => {
  const plain = filesOf('samples').flatMap(({ id }) => {
    const { problem } = toClothProblem(sample(id));
    return plainShare(problem) > 0.25 ? [{ id, crowds: crowding(problem) }] : [];
  });
  expect(plain.length).toBeGreaterThanOrEqual(7);
  for (const { id, crowds } of plain) expect(crowds, id).toBeLessThanOrEqual(WARP_FACED.has(id) ? 4 / 3 : 1);
});
