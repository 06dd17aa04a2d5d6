import { STATE_MODEL } from '#engine/cloth/states/clothStates.ts';
import { type Losses, lossesOf, type MeasuredCloth } from './cloths.ts';
import { lossOf, outsideOf } from './forecasts.ts';
import { MEASURED } from './measured.ts';

const SLACKS = [0, 0.01, 0.02];
const FELLS = [0.5, 0.7, 1, 1.4, 2];

/** Mean error of the fitted and of the other rows over both constants, for docs/forecast.md. */
export function tuningSection(): string {
  const lines = SLACKS.flatMap((weftSlackShare) =>
    FELLS.map((fellTensionShare) => {
      const known = new Map<MeasuredCloth, Losses>();
      const errors = MEASURED.map((row) => {
        const losses =
          known.get(row.cloth) ?? lossesOf(row.cloth, { ...STATE_MODEL, weftSlackShare, fellTensionShare });
        known.set(row.cloth, losses);
        return { fitted: row.fitted, off: outsideOf(lossOf(losses, row.size), row) };
      });
      const mean = (fitted: boolean) => {
        const of = errors.filter((error) => error.fitted === fitted);
        return ((100 * of.reduce((sum, { off }) => sum + off, 0)) / of.length).toFixed(1);
      };
      return `| ${100 * weftSlackShare} | ${fellTensionShare} | ${mean(true)} | ${mean(false)} |`;
    }),
  );
  return [
    '| slack, % | fell tension over an end’s | error of fitted rows, points | of the others |',
    '|---|---|---|---|',
    ...lines,
  ].join('\n');
}
