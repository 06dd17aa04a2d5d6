import { STATE_MODEL } from '#engine/cloth/states/clothStates.ts';
import type { StateModel } from '#engine/cloth/states/stateTypes.ts';
import { seededRandom } from '#tests/helpers/walkScenes.ts';
import { type Losses, lossesOf, type MeasuredCloth } from './cloths.ts';
import { lossOf, outsideOf } from './forecasts.ts';
import { MEASURED } from './measured.ts';

const SLACKS = [0, 0.01, 0.02];
const FELLS = [0.5, 0.7, 1, 1.4, 2];

/** How many sets of constants the search tries. */
const TRIALS = 240;
/** Of them at first anywhere within the bounds, then about the best. */
const ANYWHERE = 40;
/** Least and most of each constant that is searched: all that is thought possible of it. */
const BOUNDS: readonly (readonly [keyof StateModel, number, number])[] = [
  ['fellTensionShare', 0.15, 2.5],
  ['weftSlackShare', 0, 0.03],
  ['swellingKept', 0, 1],
  ['shrinkAt', 0, 1.2],
  ['hardnessFactor', 0.3, 3],
];
/** What two searches from unlike random numbers found (`npm run forecast -- --search`): opposite corners. */
const FOUND: readonly Partial<StateModel>[] = [
  { fellTensionShare: 0.15, weftSlackShare: 0, swellingKept: 0.38, shrinkAt: 0.72, hardnessFactor: 0.4 },
  { fellTensionShare: 0.88, weftSlackShare: 0, swellingKept: 0, shrinkAt: 0, hardnessFactor: 2.9 },
];

/** Hardness of the sections over its middle, as tried. */
const HARDNESSES = [0.35, 0.55, 0.75, 1, 1.4, 1.8, 2.4, 3];
/** Half of the 80 % interval of a normal law over its standard deviation. */
const OF_80 = 1.2816;

interface Errors {
  /** Mean over the rows used to choose constants, and over the others, points. */
  readonly fitted: number;
  readonly tested: number;
  /** Sum over the fitted rows of squares of what is missed over the reading's own standard deviation. */
  readonly misfit: number;
}

/** How far forecasts with these constants lie outside what was measured. */
function errorsWith(changes: Partial<StateModel>): Errors {
  const known = new Map<MeasuredCloth, Losses>();
  const errors = MEASURED.map((row) => {
    const losses = known.get(row.cloth) ?? lossesOf(row.cloth, { ...STATE_MODEL, ...changes });
    known.set(row.cloth, losses);
    const off = outsideOf(lossOf(losses, row.size), row);
    return { fitted: row.fitted, off, misfit: row.fitted ? (off / (row.readWithin / OF_80)) ** 2 : 0 };
  });
  const mean = (fitted: boolean) => {
    const of = errors.filter((error) => error.fitted === fitted);
    return (100 * of.reduce((sum, { off }) => sum + off, 0)) / of.length;
  };
  return { fitted: mean(true), tested: mean(false), misfit: errors.reduce((sum, { misfit }) => sum + misfit, 0) };
}

const cells = ({ fitted, tested }: Errors): string => `${fitted.toFixed(1)} | ${tested.toFixed(1)}`;

/** Mean error of the fitted and of the other rows over both constants, for docs/forecast.md. */
export function tuningSection(): string {
  const lines = SLACKS.flatMap((weftSlackShare) =>
    FELLS.map((fellTensionShare) => {
      return `| ${100 * weftSlackShare} | ${fellTensionShare} | ${cells(errorsWith({ weftSlackShare, fellTensionShare }))} |`;
    }),
  );
  return [
    '| slack, % | fell tension over an end’s | error of fitted rows, points | of the others |',
    '|---|---|---|---|',
    ...lines,
  ].join('\n');
}

/** How far the fitted rows tell how hard sections are, for docs/forecast.md. */
export function hardnessSection(): string {
  const lines = HARDNESSES.map((hardnessFactor) => {
    const errors = errorsWith({ hardnessFactor });
    return `| ${hardnessFactor} | ${errors.misfit.toFixed(1)} | ${cells(errors)} |`;
  });
  return `| hardness over its middle | misfit | error of fitted rows, points | of the others |
|---|---|---|---|
${lines.join('\n')}`;
}

/** What five constants, searched for on the fitted rows, do for the others. */
export function searchSection(): string {
  const before = errorsWith({});
  const lines = FOUND.map((set) => `| ${BOUNDS.map(([name]) => set[name]).join(' | ')} | ${cells(errorsWith(set))} |`);
  return `Five constants, sought at random on the fitted rows in two searches (before finishing set anything), ended in opposite corners by chance, sections soft or hard, swelling kept
or not; either serves the fitted rows, and the others no better than ${before.tested.toFixed(1)} points:

| fell tension | slack | swelling kept | place in the range of shrinkage | hardness of sections | error of fitted rows | of the others |
|---|---|---|---|---|---|---|
${lines.join('\n')}

What is left over in the others is in none of these: records leave out yarn, beat or wash, and plain weave still loses too
little here (MF-01, MF-16).`;
}

/** Searches the constants of least error on the fitted rows; tells each better set. Some minutes. */
export function searchConstants(tell: (line: string) => void): void {
  const random = seededRandom(7);
  const low = BOUNDS.map(([, least]) => least);
  const width = BOUNDS.map(([, least, most]) => most - least);
  const namedSet = (at: readonly number[]): Partial<StateModel> =>
    Object.fromEntries(BOUNDS.map(([name], k) => [name, low[k] + at[k] * width[k]]));
  let best = BOUNDS.map(([name], k) => (STATE_MODEL[name] - low[k]) / width[k]);
  let least = errorsWith({});
  tell(cells(least));
  for (let trial = 0; trial < TRIALS; trial++) {
    const step = Math.max(0.05, 0.3 * 0.985 ** Math.max(0, trial - ANYWHERE));
    const tried =
      trial < ANYWHERE
        ? BOUNDS.map(() => random())
        : best.map((at) => Math.min(1, Math.max(0, random() < 0.5 ? at + step * (2 * random() - 1) : at)));
    const errors = errorsWith(namedSet(tried));
    if (errors.fitted >= least.fitted) continue;
    least = errors;
    best = tried;
    tell(`${trial} | ${cells(errors)} | ${JSON.stringify(namedSet(tried))}`);
  }
}
