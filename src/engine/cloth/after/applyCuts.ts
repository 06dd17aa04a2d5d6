import type { ClothGeometry, ClothProblem, CutEnd, Progress } from '#engine/cloth/clothTypes.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { wholeField } from '#engine/cloth/wholeField.ts';
import { doubtedLike, type Reading } from '#engine/units/reading.ts';
import type { CutReport, CutResult, Cutting } from './afterTypes.ts';
import { clipFloats } from './clipFloats.ts';
import { type CutMade, cutAlong } from './cutAlong.ts';
import { dropUnheld, looseCount } from './fallOut.ts';
import { frayEdge } from './frayEdge.ts';
import { ThreadCuts } from './threadCuts.ts';
import { ThreadGrid } from './threadGrid.ts';

export interface CutCloth {
  readonly geometry: ClothGeometry;
  readonly readings: Readings;
  readonly cut: CutResult;
}

/** `applyCutsInSteps` in one go. */
export function applyCuts(...asked: Parameters<typeof applyCutsInSteps>): CutCloth {
  const steps = applyCutsInSteps(...asked);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/**
 * A cloth clipped and cut, in order. Nothing moves: what is left lies as it lay. Fields are laid out whole, since a cut cloth has no
 * repeat. Weight is that of what is left; of a cut through, width and length are those of the piece. Cover, thickness and
 * take-up stay those of the cloth before. Pauses between cuttings.
 */
export function* applyCutsInSteps(
  problem: ClothProblem,
  geometry: ClothGeometry,
  readings: Readings,
  cuttings: readonly Cutting[],
): Generator<Progress, CutCloth> {
  const grid = new ThreadGrid(problem, geometry);
  let cuts = new ThreadCuts(grid);
  const whole = massLeft(cuts);
  let before = whole;
  let weight = 1;
  const reports: CutReport[] = [];
  for (const cutting of cuttings) {
    yield { stage: 'readings', share: 0.9 };
    const further = cuts.copy();
    const made: CutMade = cutting.kind === 'clip' ? clipped(clipFloats(further, cutting)) : cutAlong(further, cutting);
    const unravels = cutting.kind === 'cut' && cutting.what !== 'floats' && made.cuts > 0;
    const fallen = unravels ? dropUnheld(further) + frayEdge(further, made, cutting.frayMm) : 0;
    const left = massLeft(further);
    if (left <= 0) {
      reports.push({ cuts: 0, fallen: 0, loose: 0, goneShare: 0, nothing: 'nothingLeft' });
      continue;
    }
    yield { stage: 'readings', share: 0.95 };
    const looseBefore = looseCount(cuts);
    cuts = further;
    const goneShare = (before - left) / whole;
    // A piece cut off takes its area with it.
    if (!(cutting.kind === 'cut' && cutting.what === 'through')) weight *= left / before;
    before = left;
    const { edge: _, ...told } = made;
    const loose = made.cuts > 0 ? Math.max(0, looseCount(cuts) - looseBefore) : 0;
    reports.push({ ...told, fallen, loose, goneShare });
  }
  yield { stage: 'readings', share: 1 };
  const cutEnds = cuts.cutEnds();
  const parted = cuttings.some(
    (cutting, k) => cutting.kind === 'cut' && cutting.what === 'through' && reports[k].cuts > 0,
  );
  const piece = parted ? sizeOf(cuts, cutEnds) : undefined;
  const weightGPerM2 = scaled(readings.weightGPerM2, weight);
  return {
    geometry: {
      ...geometry,
      periodRows: problem.rows,
      periodEnds: problem.ends,
      warp: { ...wholeField(geometry.warp, geometry), gone: cuts.warpGone },
      weft: { ...wholeField(geometry.weft, geometry), gone: cuts.weftGone },
      cutEnds,
    },
    readings: {
      ...readings,
      weightGPerM2,
      ...(piece
        ? {
            widthMm: doubtedLike(piece.widthMm, readings.widthMm),
            lengthMm: doubtedLike(piece.lengthMm, readings.lengthMm),
          }
        : {}),
    },
    cut: { reports, weightGPerM2, ...(piece ? { piece } : {}) },
  };
}

function clipped(cuts: number): CutMade {
  return cuts > 0 ? { cuts } : { cuts, nothing: 'noFloats' };
}

function scaled({ value, low, high }: Reading, factor: number): Reading {
  return { value: value * factor, low: low * factor, high: high * factor };
}

/** tex × mm of straight thread that is left, ends that stand included. */
function massLeft(cuts: ThreadCuts): number {
  const { grid } = cuts;
  let mass = 0;
  for (const warp of [true, false]) {
    for (let thread = 0; thread < grid.threads(warp); thread++) {
      const { tex } = grid.problem.yarns[grid.yarn(warp, thread)];
      for (const { first, last } of cuts.pieces(warp, thread)) {
        mass += tex * (grid.placeMm(warp, last) - grid.placeMm(warp, first));
      }
    }
  }
  for (const { warp, thread, lengthMm } of cuts.cutEnds())
    mass += grid.problem.yarns[grid.yarn(warp, thread)].tex * lengthMm;
  return mass;
}

/** Width and length of what is left, ends that stand out included. */
function sizeOf(cuts: ThreadCuts, cutEnds: readonly CutEnd[]): { widthMm: number; lengthMm: number } {
  const { grid } = cuts;
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
  const reach = (warp: boolean, thread: number, alongMm: number) => {
    const [x, y] = warp ? [grid.sideMm(warp, thread), alongMm] : [alongMm, grid.sideMm(warp, thread)];
    x0 = Math.min(x0, x);
    x1 = Math.max(x1, x);
    y0 = Math.min(y0, y);
    y1 = Math.max(y1, y);
  };
  for (const warp of [true, false]) {
    for (let thread = 0; thread < grid.threads(warp); thread++) {
      for (const { first, last } of cuts.pieces(warp, thread)) {
        reach(warp, thread, grid.placeMm(warp, first));
        reach(warp, thread, grid.placeMm(warp, last));
      }
    }
  }
  for (const { warp, thread, crossing, direction, lengthMm } of cutEnds) {
    reach(warp, thread, grid.placeMm(warp, crossing) + direction * lengthMm);
  }
  return { widthMm: Math.max(0, x1 - x0), lengthMm: Math.max(0, y1 - y0) };
}
