import { afterEach, describe, it } from 'vitest';
import { page } from 'vitest/browser';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable | undefined;

afterEach(async () => {
  await laid?.clear();
  laid = undefined;
  window.scrollTo(0, 0);
});

const box = (selector: string) => document.querySelector(selector)!.getBoundingClientRect();
const there = (selector: string) => until(`there is ${selector}`, () => document.querySelector(selector) !== null);

/** Whether the middle of an element is what the page shows there. */
function isSeen(selector: string): boolean {
  const { left, top, width, height } = box(selector);
  const shown = document.elementFromPoint(left + width / 2, top + height / 2);
  const element = document.querySelector(selector)!;
  return shown !== null && (element.contains(shown) || shown.contains(element));
}

describe.each([
  [900, 650],
  [1280, 800],
  [360, 740],
])('in a window of %i × %i, what opens is brought into view', (width, height) => {
  it('the yarn being changed, then the ways to its colour, the way out with them', async () => {
    localStorage.clear();
    await page.viewport(width, height);
    laid = await layTable(smallSample());
    await there('.yarn-change');
    await until('the forecast is settled', () => laid!.table.forecast.state.getState().status === 'settled');
    // The first yarn: its panel opens below all the others.
    document.querySelector<HTMLElement>('.yarn-change')!.click();
    await there('.yarn-details input[type=text]');
    await until('its name is in view', () => isSeen('.yarn-details h3'), 3000);
    await until('its first field is in view', () => isSeen('.yarn-details input[type=text]'), 3000);
    const button = [...document.querySelectorAll<HTMLElement>('.yarn-details button')];
    button.find(({ textContent }) => textContent === 'Pick the colour')!.click();
    await there('.colour-area');
    await until('the tabs are in view', () => isSeen('.colour-tabs'), 3000);
    await until('the area is in view', () => isSeen('.colour-area'), 3000);
    await until('the way out is in view', () => isSeen('.yarn-details-head button'), 3000);
  });
});
