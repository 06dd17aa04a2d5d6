import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page } from 'vitest/browser';
import { setYarnColour } from '#document/commands/yarnCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;

function cardOf(name: string): HTMLElement {
  return document.querySelector<HTMLElement>(
    `[aria-label="Yarns in this sample"] [role=row][aria-label^="${name}"] .wound-card`,
  )!;
}

const isDrawn = (name: string) => cardOf(name).dataset.drawn === 'true';

/** Mean codes over the middle of a card. */
function middleOf(name: string): readonly [number, number, number] {
  const canvas = cardOf(name).querySelector('canvas')!;
  const { data } = canvas.getContext('2d')!.getImageData(28, 28, 56, 56);
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < data.length; i += 4) for (let k = 0; k < 3; k++) sum[k] += data[i + k] / (data.length / 4);
  return sum;
}

beforeEach(async () => {
  localStorage.clear();
  await page.viewport(900, 620);
  laid = await layTable(smallSample());
  await until('the shelf is there', () => document.querySelectorAll('.wound-card').length >= 3);
});

afterEach(() => laid.clear());

describe('yarns on the shelf', () => {
  it('are drawn once the cloth is, anew when dyed, and keep their names', async () => {
    const { ui, samples, cards } = laid.table;
    let drawnBeforeSettled = 0;
    const stop = cards.state.subscribe(() => {
      if (ui.getState().picture !== 'settled' && cards.state.getState().kept > 0) drawnBeforeSettled++;
    });
    await until('all are drawn', () => ['kelp', 'gull', 'tar', 'rope'].every(isDrawn), 180_000);
    stop();
    expect(drawnBeforeSettled).toBe(0);
    expect(cardOf('kelp').getAttribute('aria-label')).toBe('wound on a card, twice life size');

    samples.dispatch(setYarnColour({ yarn: 'kelp', coneColour: '#c03020' }));
    await until('plain colour stands in', () => !isDrawn('kelp'));
    expect(cardOf('kelp').innerHTML).toContain('#c03020');
    await until('it is drawn again', () => isDrawn('kelp'), 180_000);
    const [r, g, b] = middleOf('kelp');
    expect(r).toBeGreaterThan(2 * g);
    expect(r).toBeGreaterThan(2 * b);

    // Undone, the picture kept is shown at once.
    samples.undo();
    await until('the first picture is back', () => isDrawn('kelp'), 1000);
  });

  it('are seen in another light once the light is another', async () => {
    await until('all are drawn', () => ['kelp', 'gull', 'tar', 'rope'].every(isDrawn), 180_000);
    const before = middleOf('gull');
    const { kept } = laid.table.cards.state.getState();
    laid.table.ui.getState().prefer({ light: 'raking' });
    // Until then the picture in the old light stays.
    expect(isDrawn('gull')).toBe(true);
    await until('all are drawn anew', () => laid.table.cards.state.getState().kept >= kept + 4, 180_000);
    await new Promise((resolve) => requestAnimationFrame(resolve));
    expect(Math.abs(middleOf('gull')[1] - before[1])).toBeGreaterThan(5);
  });
});
