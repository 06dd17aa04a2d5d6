import { problemAt } from '#document/problem.ts';
import { versionOnTable } from '#document/sameSample.ts';
import { loomSchema } from '#document/schema/loomSchema.ts';
import { pickSchema } from '#document/schema/pickSchema.ts';
import {
  type Measurement,
  measurementSchema,
  planSchema,
  type Sample,
  type SamplePlan,
} from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { yarnSchema } from '#document/schema/yarnSchema.ts';
import { recutOrder } from '#engine/cloth/swatch/halfWay.ts';
import type { SwatchBeat } from '#engine/cloth/swatch/loomBeat.ts';
import { type Command, changePicks, firstProblem, pickSpanProblem, plain, type Span, spanInWords } from './command.ts';
import { goWithPicks, keptPicks, type PickOrigin, treatmentsProblem } from './goWithPicks.ts';
import { followShuttles } from './shuttleSides.ts';

/** Notes that the loom stood so many minutes before a pick; null: that it did not. */
export function setPause(options: { readonly pick: number; readonly minutes: number | null }): Command {
  const { pick, minutes } = options;
  const span: Span = { from: pick, to: pick };
  return {
    name: () => (minutes === null ? `no pause before pick ${pick}` : `pause before pick ${pick}`),
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, span),
        () =>
          minutes === null
            ? null
            : fieldProblem(pickSchema.entries.pauseBeforeMin, minutes, ['picks', pick - 1, 'pauseBeforeMin']),
      ),
    apply(draft) {
      changePicks(draft, span, ({ pauseBeforeMin: _before, ...rest }) =>
        minutes === null || minutes === 0 ? rest : { ...rest, pauseBeforeMin: minutes },
      );
    },
  };
}

/** Changes what is planned beside the picks of one piece; null takes a figure away. */
export function setPlan(change: { readonly [Key in keyof SamplePlan]?: number | null }): Command {
  const changed = (plan: SamplePlan | undefined): SamplePlan => {
    const next: Record<string, number> = { ...plan };
    for (const [key, value] of Object.entries(change)) {
      if (value === null || value === undefined) delete next[key];
      else next[key] = value;
    }
    return next;
  };
  return {
    name: () => 'change the plan of the piece',
    refusal: (sample) => fieldProblem(planSchema, changed(sample.plan), ['plan']),
    apply(draft) {
      const plan = changed(draft.plan && plain(draft.plan));
      if (Object.keys(plan).length === 0) delete draft.plan;
      else draft.plan = plan;
    },
  };
}

/**
 * Writes down what was measured on the swatch at one stage, in place of what stood there; null takes it away. It is written
 * into the kept version that is on the table too: taking up another and coming back must not lose it.
 */
export function setMeasured(stage: Measurement['stage'], measured: Omit<Measurement, 'stage'> | null): Command {
  const entry: Measurement | null = measured === null ? null : { stage, ...measured };
  const others = (sample: Pick<Sample, 'measured'>) => (sample.measured ?? []).filter((each) => each.stage !== stage);
  return {
    name: () => 'write down what was measured',
    refusal: (sample) =>
      entry === null ? null : fieldProblem(measurementSchema, entry, ['measured', others(sample).length]),
    apply(draft) {
      const version = versionOnTable(plain(draft));
      const kept = others({ measured: draft.measured && plain(draft.measured) });
      if (entry) kept.push(entry);
      if (kept.length === 0) delete draft.measured;
      else draft.measured = kept;
      if (version < 0) return;
      const named = plain(draft.versions[version]);
      const { measured: _last, ...body } = named.body;
      draft.versions[version] = { ...named, body: kept.length === 0 ? body : { ...body, measured: kept } };
    },
  };
}

/** Keeps on the loom's card what a swatch told of the beat; one of the same name is replaced. */
export function keepSwatchBeat(name: string, { beatFactor, logDoubt }: SwatchBeat): Command {
  const entry = { name, beatFactor, logDoubt };
  const list = (calibration: Sample['loom']['calibration']) => [
    ...(calibration ?? []).filter((each) => each.name !== name),
    entry,
  ];
  return {
    name: (sample) => `keep the beat of this swatch for ${sample.loom.name}`,
    refusal: (sample) =>
      fieldProblem(loomSchema.entries.calibration, list(sample.loom.calibration), ['loom', 'calibration']),
    apply(draft) {
      draft.loom.calibration = list(draft.loom.calibration && plain(draft.loom.calibration));
    },
  };
}

/** Forgets a swatch of the loom. */
export function forgetSwatchBeat(name: string): Command {
  return {
    name: () => `forget the swatch "${name}"`,
    refusal: (sample) =>
      sample.loom.calibration?.some((each) => each.name === name)
        ? null
        : problemAt(['loom', 'calibration'], `has no swatch "${name}"`, 'nothing needs doing'),
    apply(draft) {
      const kept = (draft.loom.calibration ?? []).filter((each) => each.name !== name);
      if (kept.length === 0) delete draft.loom.calibration;
      else draft.loom.calibration = kept;
    },
  };
}

/**
 * From a pick on, weaves so many picks in place of those planned, groups of `unit` left out or woven twice at even
 * distances; shuttles are followed from edge to edge.
 */
export function recutPicks(options: {
  readonly from: number;
  readonly wanted: number;
  readonly unit: number;
}): Command {
  const { from, wanted, unit } = options;
  const origins = (sample: Sample): PickOrigin[] => {
    // Of groups woven twice the first is what was planned.
    const seen = new Set<number>();
    const recut = recutOrder(sample.picks.length - from + 1, wanted, unit).map((index) => {
      const again = seen.has(index);
      seen.add(index);
      return { old: from - 1 + index, again };
    });
    return [...keptPicks(0, from - 1), ...recut];
  };
  return {
    name: (sample) => `weave ${spanInWords('pick', { from, to: sample.picks.length })} in ${wanted}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, { from, to: sample.picks.length }),
        () =>
          Number.isInteger(wanted) && wanted >= 1 && from - 1 + wanted <= 20_000
            ? null
            : problemAt(['picks'], `cannot be woven in ${wanted}`, 'give a whole number of picks from 1'),
        () =>
          Number.isInteger(unit) && unit >= 1
            ? null
            : problemAt(['picks'], `cannot be left out ${unit} at a time`, 'give a whole number from 1'),
        () => treatmentsProblem(sample, origins(sample)),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      const rest = woven.slice(from - 1);
      const recut = recutOrder(rest.length, wanted, unit).map((index) => rest[index]);
      goWithPicks(draft, origins(plain(draft)));
      draft.picks = followShuttles(
        woven,
        [...woven.slice(0, from - 1), ...recut.map((pick) => ({ ...pick }))],
        from - 1,
      );
    },
  };
}

/** Writes on a yarn's card what its own swatch lost of its length in finishing, least and most, per cent. */
export function setYarnShrinkage(yarn: string, percent: readonly [number, number]): Command {
  const [low, high] = percent.map((value) => Math.round(10 * value) / 10);
  const changed = (sample: Pick<Sample, 'yarns'>) => ({
    ...sample.yarns[yarn],
    lengthShrinkPercent: [low, high] as [number, number],
    provenance: { ...sample.yarns[yarn].provenance, lengthShrinkPercent: 'measured by you on a swatch' },
  });
  return {
    name: (sample) => `note how ${sample.yarns[yarn]?.name ?? yarn} shrinks`,
    refusal: (sample) =>
      Object.hasOwn(sample.yarns, yarn)
        ? fieldProblem(yarnSchema, changed(sample), ['yarns', yarn])
        : problemAt(['yarns'], `has no yarn "${yarn}"`, 'choose one on the shelf'),
    apply(draft) {
      draft.yarns[yarn] = changed({ yarns: plain(draft.yarns) });
    },
  };
}
