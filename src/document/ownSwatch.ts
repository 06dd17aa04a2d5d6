import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { RESISTANCE_DOUBT, type Readings } from '#engine/cloth/forecast/readings.ts';
import { readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { type FittedBeat, fitBeat } from '#engine/cloth/swatch/fitBeat.ts';
import { type FittedShrinkage, fitShrinkage } from '#engine/cloth/swatch/fitShrinkage.ts';
import { beatOfLoom } from '#engine/cloth/swatch/loomBeat.ts';
import type { LoomCard } from './schema/loomSchema.ts';
import type { Measurement, SampleBody } from './schema/sampleSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';

/** Where no length is noted, picks are taken as counted over an inch. */
export const USUAL_COUNT_MM = 25.4;

export interface OwnSwatch {
  /** Picks to the cm, counted on the loom, and what they say of the beat. */
  readonly beat:
    | { readonly countedPerCm: number; readonly fitted: FittedBeat; readonly kept: boolean; readonly next: NextBeat }
    | undefined;
  /** Why the picks counted cannot be. */
  readonly jam: string | undefined;
  /** Shares lost, of length and width, from stage to stage. */
  readonly lost: readonly Loss[];
  readonly shrinkage: readonly YarnShrinkage[];
}

/** This sample's forecast once the swatch is kept with its loom. */
export interface NextBeat {
  readonly picksPerCm: number;
  /** Factor within which the next sample's resistance is then known, and was. */
  readonly doubt: number;
  readonly doubtBefore: number;
}

export interface Loss {
  readonly of: 'length' | 'width';
  readonly stage: 'offLoom' | 'finished';
  readonly share: number;
}

export interface YarnShrinkage {
  readonly card: YarnCard;
  readonly system: 'warp' | 'weft';
  readonly fitted: FittedShrinkage;
}

/** What the swatch as measured says of beat and yarns. Parts that were not measured are left out. */
export function ownSwatch(body: SampleBody, problem: ClothProblem, readings: Readings): OwnSwatch {
  const measured = new Map((body.measured ?? []).map((each) => [each.stage, each]));
  const beat = beatOf(body, problem, measured.get('onLoom'));
  const lost: Loss[] = [];
  for (const [of, key] of [
    ['length', 'lengthMm'],
    ['width', 'widthMm'],
  ] as const) {
    for (const [stage, before] of [
      ['offLoom', 'onLoom'],
      ['finished', 'offLoom'],
    ] as const) {
      const [from, to] = [measured.get(before)?.[key], measured.get(stage)?.[key]];
      if (from && to) lost.push({ of, stage, share: 1 - to / from });
    }
  }
  return { ...beat, lost, shrinkage: shrinkageOf(body, problem, readings, measured) };
}

function beatOf(
  { loom, name }: SampleBody,
  problem: ClothProblem,
  onLoom: Measurement | undefined,
): Pick<OwnSwatch, 'beat' | 'jam'> {
  const countedPerCm = onLoom?.picksPerCm;
  if (countedPerCm === undefined) return { beat: undefined, jam: undefined };
  try {
    const fitted = fitBeat(problem, countedPerCm, onLoom?.picksOverMm ?? USUAL_COUNT_MM);
    const kept = (loom.calibration ?? []).some(
      (each) => each.name === name && alike(each.beatFactor, fitted.beatFactor),
    );
    return { beat: { countedPerCm, fitted, kept, next: nextBeat(loom, name, problem, fitted) }, jam: undefined };
  } catch (error) {
    if (!(error instanceof ClothError)) throw error;
    return { beat: undefined, jam: error.message };
  }
}

const alike = (a: number, b: number) => Math.abs(a / b - 1) < 1e-6;

function nextBeat(loom: LoomCard, name: string, problem: ClothProblem, fitted: FittedBeat): NextBeat {
  const others = (loom.calibration ?? []).filter((each) => each.name !== name);
  const { resistanceFactor, resistanceDoubt } = beatOfLoom([...others, fitted])!;
  const { fixedPicksPerCm: _fixed, ...asSaid } = problem.beat;
  const { rowYMm } = rowPositions({ ...problem, beat: { ...asSaid, resistanceFactor } }, false);
  const { rows, rowPick } = problem;
  return {
    picksPerCm: (10 * (rowPick[rows - 1] - rowPick[0])) / rowYMm[rows - 1],
    doubt: resistanceDoubt,
    doubtBefore: beatOfLoom(others)?.resistanceDoubt ?? RESISTANCE_DOUBT,
  };
}

/** Of a system that is of one yarn alone; where several lie side by side none can be told apart by a ruler. */
function shrinkageOf(
  { yarns }: SampleBody,
  problem: ClothProblem,
  readings: Readings,
  measured: ReadonlyMap<Measurement['stage'], Measurement>,
): YarnShrinkage[] {
  const off = measured.get('offLoom');
  const finished = measured.get('finished');
  const { warpTakeUp, weftTakeUp } = readingsOnLoom(readings);
  const found: YarnShrinkage[] = [];
  for (const [system, yarnOf, takeUp, key] of [
    ['warp', problem.endYarn, warpTakeUp, 'lengthMm'],
    ['weft', problem.rowYarn, weftTakeUp, 'widthMm'],
  ] as const) {
    const [before, after] = [off?.[key], finished?.[key]];
    const ids = new Set(Array.from(new Set(yarnOf)).flatMap((yarn) => problem.yarns[yarn].strands));
    if (!before || !after || ids.size !== 1) continue;
    const [id] = ids;
    found.push({ card: yarns[id], system, fitted: fitShrinkage(before, after, takeUp.value) });
  }
  return found;
}
