import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { cellCorner, type DraftCell } from '#app/draft/draftCells.ts';
import { cellSizesPx, draftLayout, fittingCellIndex } from '#app/draft/draftLayout.ts';
import type { DraftSheet } from '#app/draft/paintDraft.ts';
import { drawdownFromRows } from '#engine/draft/drawdown.ts';
import { rowsFromDrawdown } from '#engine/draft/transformDrawdown.ts';
import { writeDrawdownPng } from '#io/drawdownPng.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';
import { violations } from './violations.ts';

let laid: LaidTable;
const sample = () => laid.table.samples.state.getState().sample;
const cloth = () => laid.table.forecast.state.getState().cloth!;
const scroller = () => document.querySelector<HTMLElement>('.draft-scroller')!;
const button = (words: string) =>
  [...document.querySelectorAll<HTMLButtonElement>('.draft-sheet button')].find(
    ({ textContent }) => textContent === words,
  )!;
const lifts = () => sample().picks.map(({ lift }) => lift);
const notice = () => document.querySelector('.notice-box')?.textContent ?? '';

/** Middle of a square of the draft, page px. */
function pointOf(cell: DraftCell): { clientX: number; clientY: number } {
  const { problem } = cloth();
  const sheet = { shafts: 8, drawdown: problem.drawdown, lifts: [], tieUp: undefined } as unknown as DraftSheet;
  const { clientWidth: widthPx, clientHeight: heightPx, scrollLeft: x, scrollTop: y } = scroller();
  const layout = draftLayout(sheet, widthPx, heightPx, cellSizesPx[fittingCellIndex(sheet, widthPx, heightPx)]);
  const corner = cellCorner(layout, sheet, { x, y }, cell);
  const box = scroller().getBoundingClientRect();
  return { clientX: box.left + 1 + corner.x + layout.cellPx / 2, clientY: box.top + 1 + corner.y + layout.cellPx / 2 };
}

/** A stroke from square to square, as a pen makes it. */
async function stroke(...cells: DraftCell[]): Promise<void> {
  const at = (type: string, cell: DraftCell) =>
    scroller().dispatchEvent(
      new PointerEvent(type, { bubbles: true, pointerId: 1, pointerType: 'pen', button: 0, ...pointOf(cell) }),
    );
  // A made-up pointer cannot be captured.
  scroller().setPointerCapture = () => {};
  at('pointerdown', cells[0]);
  for (const cell of cells.slice(1)) {
    await new Promise((resolve) => setTimeout(resolve, 20));
    at('pointermove', cell);
  }
  await new Promise((resolve) => setTimeout(resolve, 20));
  at('pointerup', cells[cells.length - 1]);
}

const lift = (x: number, y: number): DraftCell => ({ part: 'lifts', x, y });
const crossing = (x: number, y: number): DraftCell => ({ part: 'drawdown', x, y });

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 900);
  const small = smallSample();
  laid = await layTable({ ...small, versions: [], warp: { ...small.warp, fixed: true } });
  await until('a cloth is there', () => laid.table.forecast.state.getState().cloth !== undefined);
  laid.table.ui.getState().toggleDrawer();
  await until(
    'the draft is open',
    () => scroller() !== null && scroller().clientWidth > 0 && button('Mark') !== undefined,
  );
});

afterEach(async () => {
  await laid.clear();
});

describe('the paper draft', () => {
  it('is marked by a stroke, as one step to undo, and the stroke turns what it began on', async () => {
    const before = lifts();
    await userEvent.click(button('Mark'));
    const free = [1, 2, 3, 4, 5, 6, 7, 8].find((shaft) => !before[0].includes(shaft))!;
    await stroke(lift(free - 1, 0), lift(free - 1, 2));
    await until('it is marked', () => lifts()[0].includes(free));
    expect(
      lifts()
        .slice(0, 3)
        .every((each) => each.includes(free)),
    ).toBe(true);
    expect(lifts()[3]).toEqual(before[3]);
    laid.table.samples.undo();
    expect(lifts()).toEqual(before);
  });

  it('lifts the shaft of a crossing’s end, and every end on it, where the drawdown is marked', async () => {
    await userEvent.click(button('Block'));
    const { drawdown, rowPick } = cloth().problem;
    const row = [...rowPick.keys()].find((each) => rowPick[each] === 1)!;
    const was = rowsFromDrawdown(drawdown)[row][2];
    await stroke(crossing(2, row), crossing(2, row));
    await until('its end moved', () => rowsFromDrawdown(cloth().problem.drawdown)[row][2] === 1 - was);
    const now = rowsFromDrawdown(cloth().problem.drawdown)[row];
    expect([now[10], now[18]]).toEqual([1 - was, 1 - was]);
  });

  it('refuses to thread a warp that is on the loom, and says so', async () => {
    await userEvent.click(button('Mark'));
    await stroke({ part: 'threading', x: 0, y: 5 });
    await until('it is refused', () => /is on the loom and cannot change/.test(notice()));
    expect(document.querySelector('.draft-line')!.textContent).toMatch(/threading is on the loom and fixed/);
  });

  it('is marked by keys alone, arrows going from the drawdown over its edge to the lifts', async () => {
    await userEvent.click(button('Line'));
    scroller().focus();
    await userEvent.keyboard('{ArrowUp}');
    const told = () => document.querySelector('.draft-sheet [role=status]')!.textContent!;
    await until('the square is told', () => told().startsWith('End 1, pick 1:'));
    for (let end = 1; end < 24; end++) await userEvent.keyboard('{ArrowRight}');
    await userEvent.keyboard('{ArrowRight}{ArrowRight}');
    await until('it is among the lifts', () => told().startsWith('Pick 1, shaft 2:'));
    const had = lifts()[0].includes(2);
    await userEvent.keyboard(' ');
    await until('it is marked', () => lifts()[0].includes(2) !== had);
    await userEvent.keyboard('{ArrowUp}{ArrowUp}{Shift>} {/Shift}');
    await until('the line is drawn', () => lifts()[2].includes(2) === !had && lifts()[1].includes(2) === !had);
  });

  it('fills an area with a structure, and mirrors it back', async () => {
    await userEvent.click(button('Area'));
    await stroke(crossing(0, 0), crossing(23, 3));
    await until('it can be filled', () => document.querySelector('[aria-label="The area"]') !== null);
    const choice = document.querySelector<HTMLSelectElement>('[aria-label="The area"] select')!;
    await userEvent.selectOptions(choice, 'hopsack-2-2');
    const hopsack = [1, 1, 0, 0];
    await until('it is hopsack', () =>
      rowsFromDrawdown(cloth().problem.drawdown)[0].every((up, end) => up === hopsack[end % 4]),
    );
    await userEvent.click(button('Swap faces'));
    await until('its faces are swapped', () =>
      rowsFromDrawdown(cloth().problem.drawdown)[0].every((up, end) => up === 1 - hopsack[end % 4]),
    );
  });

  it('is drawn by the reader’s conventions, and what is marked is the same cloth', async () => {
    laid.table.ui
      .getState()
      .prefer({ draft: { shaftOne: 'above', endOne: 'right', firstPick: 'above', filled: 'sinks', side: 'face' } });
    const before = lifts();
    const rows = cloth().problem.rows;
    await userEvent.click(button('Mark'));
    await until('it says so', () =>
      /Shaft 1 topmost; threading read from the right; first pick topmost/.test(
        document.querySelector('.draft-line')!.textContent!,
      ),
    );
    await stroke(lift(2, rows - 1));
    await until('shaft 3 changed at pick 1', () => lifts()[0].includes(3) !== before[0].includes(3));
    expect(lifts().slice(1)).toEqual(before.slice(1));
  });

  it('takes a picture of a drawdown, the nearest that the warp weaves', async () => {
    const net = drawdownFromRows([
      [1, 1, 0, 0],
      [0, 0, 1, 1],
    ]);
    await laid.table.readFile(new File([writeDrawdownPng(net)], 'net.png'));
    await until('it is told', () => /net\.png is woven: 2 picks, repeated 6 times across/.test(notice()));
    await until('it is woven', () => rowsFromDrawdown(cloth().problem.drawdown)[1].slice(0, 4).join('') === '0011');
  });

  it('can be used without sight or pointer (axe)', async () => {
    await userEvent.click(button('Area'));
    expect(await violations(document.querySelector('.draft-drawer')!)).toEqual([]);
  });
});
