import { problemAt } from '#document/problem.ts';
import { pickSchema, type WeftPick } from '#document/schema/pickSchema.ts';
import { beatSchema, type Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, changePicks, firstProblem, pickSpanProblem, type Span, spanInWords } from './command.ts';

/** Firmness of the beat at a pick (0-based index): its own, or the sample's. */
export function firmnessAt(sample: Sample, pickIndex: number): number {
  return sample.picks[pickIndex].beat ?? sample.beat.firmness;
}

function beaten(pick: WeftPick, firmness: number | null): WeftPick {
  const { beat: _beat, ...rest } = pick;
  return firmness === null ? rest : { ...rest, beat: firmness };
}

/** Firmness 0..1 of these picks, or of the whole sample where no picks are given; null: as the rest of the sample. */
export function setBeat(options: { readonly picks?: Span; readonly firmness: number | null }): Command {
  const { picks, firmness } = options;
  if (!picks) return setSampleBeat(firmness);
  return {
    name(sample) {
      const where = spanInWords('pick', picks);
      if (firmness === null) return `beat ${where} as the rest`;
      const before = firmnessAt(sample, picks.from - 1);
      return `beat ${firmness >= before ? 'firmer' : 'looser'} on ${where}`;
    },
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => (firmness === null ? null : fieldProblem(beatSchema.entries.firmness, firmness, ['beat', 'firmness'])),
      ),
    apply(draft) {
      changePicks(draft, picks, (pick) => beaten(pick, firmness));
    },
  };
}

function setSampleBeat(firmness: number | null): Command {
  return {
    name: (sample) => `beat ${(firmness ?? 0) >= sample.beat.firmness ? 'firmer' : 'looser'} throughout`,
    refusal: () => fieldProblem(beatSchema.entries.firmness, firmness, ['beat', 'firmness']),
    apply(draft) {
      draft.beat.firmness = firmness as number;
    },
  };
}

/** Firmness pick by pick from pick `from` on, as a dragged beat trace gives it; null entries fall back to the sample's. */
export function setBeatTrace(options: {
  readonly from: number;
  readonly firmness: readonly (number | null)[];
}): Command {
  const { from } = options;
  const firmness = [...options.firmness];
  const picks: Span = { from, to: from + firmness.length - 1 };
  return {
    name: () => `shape the beat of ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => {
          const bad = firmness.findIndex((value) => value !== null && !(value >= 0 && value <= 1));
          if (bad < 0) return null;
          return fieldProblem(pickSchema.entries.beat, firmness[bad], ['picks', from - 1 + bad, 'beat']);
        },
      ),
    apply(draft) {
      changePicks(draft, picks, (pick, index) => beaten(pick, firmness[index - from + 1]));
    },
  };
}

/** How unevenly the beat falls (per cent of its resistance), and the seed that decides which picks get more of it. */
export function setBeatScatter(options: { readonly scatterPercent: number; readonly seed?: number }): Command {
  const { scatterPercent, seed } = options;
  return {
    name: () => (scatterPercent === 0 ? 'beat evenly' : 'change how evenly the beat falls'),
    refusal: () =>
      firstProblem(
        () => fieldProblem(beatSchema.entries.scatterPercent, scatterPercent, ['beat', 'scatterPercent']),
        () => (seed === undefined ? null : fieldProblem(beatSchema.entries.seed, seed, ['beat', 'seed'])),
      ),
    apply(draft) {
      draft.beat.scatterPercent = scatterPercent;
      if (seed !== undefined) draft.beat.seed = seed;
    },
  };
}

/** Height of the arc in which the weft is laid before the beat, mm; null or 0 lays it straight across. */
export function setWeftArc(arcMm: number | null): Command {
  return {
    name: () => (!arcMm ? 'lay the weft straight across' : `lay the weft in an arc ${arcMm} mm high`),
    refusal: () => (arcMm === null ? null : fieldProblem(beatSchema.entries.weftArcMm, arcMm, ['beat', 'weftArcMm'])),
    apply(draft) {
      if (!arcMm) delete draft.beat.weftArcMm;
      else draft.beat.weftArcMm = arcMm;
    },
  };
}

/** Fixes the picks per cm, whatever beat that takes; null lets the beat decide again. */
export function fixPicksPerCm(picksPerCm: number | null): Command {
  return {
    name: () => (picksPerCm === null ? 'let the beat set the picks' : `fix ${picksPerCm} picks per cm`),
    refusal(sample) {
      if (picksPerCm !== null)
        return fieldProblem(beatSchema.entries.fixedPicksPerCm, picksPerCm, ['beat', 'fixedPicksPerCm']);
      if (sample.beat.fixedPicksPerCm !== undefined) return null;
      return problemAt(['beat'], 'already sets the picks', 'nothing needs doing');
    },
    apply(draft) {
      if (picksPerCm === null) delete draft.beat.fixedPicksPerCm;
      else draft.beat.fixedPicksPerCm = picksPerCm;
    },
  };
}
