import type { SheetPlan } from '#app/still/sheetPlan.ts';
import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import { isTraced, type PictureAsked, samplesOf } from './pictureAsked.ts';

export const fineness: Readonly<Record<number, string>> = { 4: 'quick', 16: 'good', 64: 'finest' };
/** What so many looks at each point, averaged, are good for. */
const finenessMeans: Readonly<Record<number, string>> = {
  4: 'some grain is left, as in a photograph taken in poor light',
  16: 'hardly any grain is left; enough for most pictures',
  64: 'no grain to be seen; it takes four times as long as good',
};
/** The same of traced paths, which are grainier. */
const tracedMeans: Readonly<Record<number, string>> = {
  4: 'much grain is left; enough to see whether it is the picture wanted',
  16: 'some grain is left, as in a photograph taken in poor light',
  64: 'hardly any grain is left; it takes four times as long as good',
};

/** How often each point is looked at, and what that is good for. */
export function grainWords(asked: PictureAsked): string {
  const times = formatNumber(samplesOf(asked));
  return isTraced(asked)
    ? `Light is followed along ${times} paths from each point, through many bounces, and averaged: ${tracedMeans[asked.samples]}.`
    : `Each point is looked at ${times} times and averaged: ${finenessMeans[asked.samples]}.`;
}

/** Up to so many dots an inch a picture in the table's light is soon drawn. */
const QUICK_DPI = 150;

/** What so many dots an inch are good for, and how long they take. */
export function dotsWords(asked: PictureAsked): string {
  const { dotsPerInch } = asked;
  if (isTraced(asked)) {
    return `Tracing takes minutes, and far longer where no graphics processor helps: a small picture of it shows below the cloth while it comes. Twice as many dots an inch take four times as long.`;
  }
  return dotsPerInch <= QUICK_DPI
    ? `${QUICK_DPI} dots an inch is quick, and fine enough for a screen; print asks for 300.`
    : `More than ${QUICK_DPI} dots an inch is fine enough for print; twice as many take four times as long.`;
}

/** "1,200 × 900 px". */
export function pixelWords({ sheet }: SheetPlan): string {
  return `${formatNumber(sheet.widthPx)} × ${formatNumber(sheet.heightPx)} px`;
}

/** The same with its size on paper, at true scale. */
export function sizeWords(plan: SheetPlan, system: LengthSystem): string {
  const { sheet, mmPerPx } = plan;
  const across = quantity(sheet.widthPx * mmPerPx, 'length', system);
  const up = quantity(sheet.heightPx * mmPerPx, 'length', system);
  return `${pixelWords(plan)}, ${across.text} × ${up.text} ${up.unit}`;
}
