import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { DraftSheetView } from '#app/draft/DraftSheetView.tsx';
import { cellSizesPx, draftLayout, fittingCellIndex } from '#app/draft/draftLayout.ts';
import type { DraftSheet } from '#app/draft/paintDraft.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { liftPlanFromShafts } from '#engine/draft/liftPlan.ts';
import '#app/styles/all.css';
import { until } from './layTable.tsx';

const ends = 400;
const rows = 400;
const shafts = 24;

/** A straight draw, lifted so that end e is up at pick p where e, counted in shafts, is one of p .. p + 6. */
function largeSheet(): DraftSheet {
  const threading = Uint8Array.from({ length: ends }, (_, end) => 1 + (end % shafts));
  const lifts = Array.from({ length: rows }, (_, row) => Array.from({ length: 7 }, (_, k) => 1 + ((row + k) % shafts)));
  return {
    shafts,
    threading,
    tieUp: undefined,
    lifts,
    drawdown: computeDrawdown(threading, liftPlanFromShafts(lifts, shafts)),
    endColours: Array(ends).fill('#22201f'),
    rowColours: Array(rows).fill('#b08d57'),
    rowPick: Array.from({ length: rows }, (_, row) => row),
  };
}

let root: Root;
let place: HTMLElement;
const chosen: string[] = [];
const sheet = largeSheet();

const scroller = () => document.querySelector<HTMLElement>('.draft-scroller')!;
const size = () => ({ widthPx: scroller().clientWidth, heightPx: scroller().clientHeight });

async function open(at: { end: number; row: number }): Promise<void> {
  root.render(
    <div className="draft-drawer">
      <DraftSheetView
        sheet={sheet}
        words="24 shafts"
        marks={{ rows: undefined, ends: undefined }}
        seen={() => at}
        onRow={(row) => chosen.push(`row ${row}`)}
        onEnd={(end) => chosen.push(`end ${end}`)}
      />
    </div>,
  );
  await until('it is scrolled there', () => (scroller()?.scrollLeft ?? 0) > 0);
  await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
}

function layoutNow(cellPx?: number) {
  const { widthPx, heightPx } = size();
  return draftLayout(sheet, widthPx, heightPx, cellPx ?? cellSizesPx[fittingCellIndex(sheet, widthPx, heightPx)]);
}

/** Middle of a crossing, px from the scroller's inner corner, at the present scroll. */
function pointOf(end: number, row: number, cellPx?: number) {
  const layout = layoutNow(cellPx);
  return {
    x: layout.left + (end + 0.5) * layout.cellPx - scroller().scrollLeft,
    y: layout.top + (rows - row - 0.5) * layout.cellPx - scroller().scrollTop,
  };
}

/** Whether the drawing is dark at a crossing. */
function filled(end: number, row: number): boolean {
  const canvas = document.querySelector<HTMLCanvasElement>('.draft-canvas')!;
  const ratio = canvas.width / canvas.getBoundingClientRect().width;
  const { x, y } = pointOf(end, row);
  const [red, , , alpha] = canvas
    .getContext('2d')!
    .getImageData(Math.round(x * ratio), Math.round(y * ratio), 1, 1).data;
  return alpha > 128 && red < 100;
}

/** Browsers glide to where a key scrolls. */
async function atRest(): Promise<void> {
  for (let still = 0, last = -1; still < 10; still = scroller().scrollLeft === last ? still + 1 : 0) {
    last = scroller().scrollLeft;
    await new Promise((resolve) => setTimeout(resolve, 30));
  }
}

beforeEach(async () => {
  await page.viewport(900, 620);
  chosen.length = 0;
  place = document.createElement('div');
  document.body.append(place);
  root = createRoot(place);
});

afterEach(() => {
  root.unmount();
  place.remove();
});

describe('a draft of 400 ends and 400 picks', () => {
  it('opens at the place seen, with its threading and lifts in sight', async () => {
    await open({ end: 250, row: 130 });
    const layout = layoutNow();
    const { x, y } = pointOf(250, 130);
    expect(x).toBeCloseTo(layout.left + layout.width / 2, -1);
    expect(y).toBeCloseTo(layout.top + layout.height / 2, -1);
    await until('it is drawn there', () => filled(250, 130) || filled(251, 130) || filled(252, 130));
    for (let end = 240; end < 260; end++) {
      expect(filled(end, 130), `end ${end + 1}`).toBe(sheet.lifts[130].includes(sheet.threading[end]));
    }
    const canvas = document.querySelector<HTMLCanvasElement>('.draft-canvas')!;
    const { data } = canvas
      .getContext('2d')!
      .getImageData(layout.planLeft, layout.top, 24 * layout.cellPx, layout.height);
    let dark = 0;
    for (let i = 0; i < data.length; i += 4) if (data[i + 3] > 128 && data[i] < 100) dark++;
    // 7 of 24 shafts are up at each pick; squares are drawn a little smaller than their cells.
    expect(dark / (data.length / 4)).toBeGreaterThan(0.1);
    expect(dark / (data.length / 4)).toBeLessThan(0.3);
  });

  it('scrolls, grows round its middle and comes back, by keys', async () => {
    await open({ end: 250, row: 130 });
    const home = { left: scroller().scrollLeft, top: scroller().scrollTop };
    scroller().focus();
    await userEvent.keyboard('{ArrowLeft}');
    await until('it has scrolled', () => scroller().scrollLeft < home.left);
    await atRest();
    await userEvent.keyboard('{Home}');
    await until('it is back', () => Math.abs(scroller().scrollLeft - home.left) < 1);
    const before = layoutNow().cellPx;
    const larger = cellSizesPx[cellSizesPx.indexOf(before) + 1];
    await userEvent.keyboard('+');
    await until('it is larger', () => scroller().scrollLeft > home.left + 50);
    const layout = layoutNow(larger);
    const { x, y } = pointOf(250, 130, larger);
    expect(Math.abs(x - (layout.left + layout.width / 2))).toBeLessThan(larger);
    expect(Math.abs(y - (layout.top + layout.height / 2))).toBeLessThan(larger);
    await userEvent.keyboard('-');
    await until('it is as it was', () => Math.abs(scroller().scrollLeft - home.left) <= before);
  });

  it('a touch on it chooses that pick, on the threading that end; Ctrl and the wheel change its size', async () => {
    await open({ end: 250, row: 130 });
    const press = (x: number, y: number) => {
      const box = scroller().getBoundingClientRect();
      const at = { clientX: box.left + 1 + x, clientY: box.top + 1 + y };
      scroller().dispatchEvent(new MouseEvent('click', { bubbles: true, ...at }));
    };
    const { x, y } = pointOf(252, 133);
    press(x, y);
    press(x, 6);
    expect(chosen).toEqual(['row 133', 'end 252']);
    const was = scroller().scrollWidth;
    scroller().dispatchEvent(new WheelEvent('wheel', { deltaY: -100, ctrlKey: true, bubbles: true, cancelable: true }));
    await until('it is larger', () => scroller().scrollWidth > was + 100);
  });
});
