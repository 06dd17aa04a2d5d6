import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { Crew } from '#engine/cloth/crew.ts';
import type { ForecastMemory, Quality } from '#engine/cloth/forecast/forecastCloth.ts';
import type { HeightsOptions, HeightsProblem } from '#engine/cloth/heights/heightsTypes.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import {
  evenCloth,
  largestDifference,
  layersOfPlain,
  plain,
  satin8,
  shadedSatin,
  solve,
  type Weave,
} from '#tests/engine/cloth/heights/problems.ts';
import { answer, pictureCloths } from '#tests/helpers/benchCloths.ts';
import { finish } from '#tests/helpers/finish.ts';
import { crewOfPage } from '#workers/crewOfPage.ts';

/**
 * Times of the forecast on this machine, one line of JSON each. `?picture=400x400` (by itself) all answers of that
 * picture; `?picture=2000x3000&only=preview` its previews, `&only=settled` it settled, told in parts as it goes;
 * `?heights` microseconds a crossing by weave and tension, till a solve ends and till it is within 1 % of D. In the page's own
 * thread; with `&workers=4` in one and in so many threads beside it in turn (with `&shared` in these only), as many as the page
 * of the table itself would have where no number is named. Before it counts as loaded.
 */
const query = new URLSearchParams(location.search);
const result = document.getElementById('result') as HTMLElement;
const lines: string[] = [];

function say(line: Record<string, number | string>): void {
  lines.push(JSON.stringify(line));
  result.textContent = lines.join('\n');
}

/** Longest that a page may take, ms. */
const MOST_MS = 95_000;
const begun = performance.now();

async function timeAnswer(
  name: string,
  problem: ClothProblem,
  materials: Parameters<typeof answer>[1],
  quality: Quality,
  memory: ForecastMemory,
): Promise<void> {
  const start = performance.now();
  const steps = answer(problem, materials, quality, memory, crew);
  const stages: Record<string, number> = {};
  let last = start;
  let longest = 0;
  for (let step = steps.next(); !step.done; step = steps.next()) {
    if (step.value.until) await step.value.until;
    const now = performance.now();
    const { stage, share } = step.value;
    // Telling kinds apart comes before anything is solved.
    const part = stage === 'heights' && share <= 0.02 ? 'kinds' : stage;
    stages[part] = (stages[part] ?? 0) + now - last;
    longest = Math.max(longest, now - last);
    last = now;
    if (now - begun < MOST_MS) continue;
    say({ name, quality, unfinishedMs: Math.round(now - start), at: step.value.stage, share: step.value.share });
    return;
  }
  const inStages = Object.entries(stages).map(([stage, ms]) => [stage, Math.round(10 * ms) / 10]);
  const ms = Math.round(10 * (performance.now() - start)) / 10;
  say({
    name,
    quality,
    workers: crew?.hands ?? 1,
    sharesMemory: crew?.shares ? 'yes' : 'no',
    ms,
    longestStretchMs: Math.round(longest),
    ...Object.fromEntries(inStages),
  });
}

async function timePicture(rows: number, ends: number, only: string | null): Promise<void> {
  const { picture, firmer, turned, materials } = pictureCloths(rows, ends);
  const of = `${rows} × ${ends}`;
  const memory: ForecastMemory = {};
  const small = rows * ends < 1e6;
  if (only !== 'settled') {
    for (let k = 0; k < (small ? 3 : 2); k++)
      await timeAnswer(`${of}, from nothing`, picture, materials, 'preview', {});
    if (!small) {
      await timeAnswer(`${of}, from nothing`, picture, materials, 'preview', memory);
      for (const cloth of [firmer, picture])
        await timeAnswer(`${of}, another beat`, cloth, materials, 'preview', memory);
    }
  }
  if (only === 'preview') return;
  await timeAnswer(`${of}, from nothing`, picture, materials, 'settled', memory);
  if (!small) return;
  for (const cloth of [firmer, picture, firmer, picture])
    await timeAnswer(`${of}, another beat`, cloth, materials, 'preview', { ...memory });
  await timeAnswer(`${of}, ten crossings turned`, turned, materials, 'preview', { ...memory });
  // The first few while threads still compile what they run.
  for (const cloth of [firmer, picture, firmer, picture, firmer, picture])
    await timeAnswer(`${of}, another beat`, cloth, materials, 'settled', memory);
}

/** T·p²/B of the warp: slack, as off the loom, on the loom, and hard. */
const TIGHTNESSES = [0, 1, 3, 30, 100, 200];

/** Solves that a time is the best of. */
const ROUNDS = 9;
const CHECK_EVERY = 6;
const CLOSE_SHARE = 0.01;

function timeHeights(): void {
  const side = 72;
  const weaves: Record<string, [Weave, number]> = {
    plain: [plain, 1],
    'satin of 8': [satin8, 1],
    'double plain': [layersOfPlain(2), 0.5],
    'triple plain': [layersOfPlain(3), 1 / 3],
    'shaded satin': [shadedSatin(side), 1],
  };
  for (const [name, [weave, p]] of Object.entries(weaves)) {
    for (const warpTightness of TIGHTNESSES) {
      const problem = evenCloth({
        rows: side,
        ends: side,
        weave,
        p1: p,
        p2: p,
        boundary: name === 'shaded satin' ? 'mirrored' : 'periodic',
        warpTightness,
        weftTightness: Math.min(2, warpTightness),
      });
      const scratch = new Scratch();
      const timed = (options: HeightsOptions) => {
        let best = Infinity;
        let iterations = 0;
        for (let k = 0; k === 0 || (k < ROUNDS && performance.now() - begun < MOST_MS); k++) {
          const start = performance.now();
          const { residuals } = finish(solveHeights(problem, { ...options, scratch }));
          best = Math.min(best, performance.now() - start);
          iterations = residuals.iterations;
        }
        return { iterations, microseconds: Math.round((1e5 * best) / (side * side)) / 100 };
      };
      const settled = timed({});
      const close = timed({ maxIterations: iterationsTillClose(problem, settled.iterations) });
      say({
        heights: name,
        warpTightness,
        iterations: settled.iterations,
        microsecondsPerCrossing: settled.microseconds,
        iterationsToOnePercent: close.iterations,
        microsecondsToOnePercent: close.microseconds,
      });
    }
  }
}

/** Iterations from which on no height is further than 1 % of D from a solve to residuals of 1e-7. */
function iterationsTillClose(problem: HeightsProblem, most: number): number {
  const exact = { tolerance: 1e-7, errorTolerance: 1e-7, maxIterations: 5000 };
  const end = solve(problem, { ...exact, withoutWrap: true });
  const D = problem.endHalfHeightMm[0] + problem.rowHalfHeightMm[0];
  let far = 0;
  for (let n = CHECK_EVERY; n < most; n += CHECK_EVERY)
    if (largestDifference(solve(problem, { maxIterations: n, withoutWrap: true }), end, D) > CLOSE_SHARE) far = n;
  return far + CHECK_EVERY;
}

/** Threads that a run is given. */
let crew: Crew | undefined;

// The page counts as loaded only once all is done.
const holding = document.createElement('iframe');
document.body.append(holding);
holding.contentDocument?.open();
try {
  if (query.has('heights')) timeHeights();
  else {
    const [rows, ends] = (query.get('picture') ?? '400x400').split('x').map(Number);
    const workers = query.get('workers');
    const shared = workers === null ? undefined : crewOfPage(workers === '' ? undefined : Number(workers));
    for (const each of shared && !query.has('shared') ? [undefined, shared] : [shared]) {
      crew = each;
      await timePicture(rows, ends, query.get('only'));
    }
  }
} catch (error) {
  say({ failed: error instanceof Error ? error.message : String(error) });
}
say({ done: 'yes', ms: Math.round(performance.now() - begun) });
holding.contentDocument?.close();
holding.remove();
