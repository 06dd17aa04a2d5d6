import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { passSchema, type WeftPass, type WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import {
  type Command,
  changePicks,
  firstProblem,
  pickSpanProblem,
  plain,
  type Span,
  spanInWords,
  strandsInWords,
} from './command.ts';
import { edgesFor, isAcross, shortWeftProblem } from './edgeOfPass.ts';
import { triedPickProblem } from './triedPick.ts';

/** Every strand must be a yarn of the sample. */
export function strandsProblem(sample: Sample, strands: readonly string[]): DocumentProblem | null {
  if (strands.length === 0) return problemAt(['yarns'], 'has no yarn chosen', 'choose at least one');
  const missing = strands.find((id) => !Object.hasOwn(sample.yarns, id));
  if (missing === undefined) return fieldProblem(passSchema.entries.strands, strands, ['yarns']);
  return problemAt(['yarns'], `has no yarn "${missing}"`, 'put the yarn on the shelf first');
}

/**
 * Weaves the picks with these strands, in every pass or the one given. With `replacing`, only passes that hold that
 * yarn change, and there only that strand: so one of two alternating wefts can be exchanged over any span.
 */
export function setPassYarn(options: {
  readonly picks: Span;
  readonly pass?: number;
  readonly strands: readonly string[];
  readonly replacing?: string;
  /** Lengths are joined, so that one shorter than the web is taken all the same. */
  readonly joined?: boolean;
}): Command {
  const { picks, pass, replacing, joined } = options;
  const strands = [...options.strands];
  const touches = (index: number, weftPass: WeftPass) =>
    (pass === undefined || index === pass - 1) && (replacing === undefined || weftPass.strands.includes(replacing));
  const exchanged = (old: readonly string[]): string[] =>
    replacing === undefined ? strands : old.flatMap((id) => (id === replacing ? strands : [id]));
  return {
    name: (sample) => `weave ${spanInWords('pick', picks)} with ${strandsInWords(sample, strands)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => strandsProblem(sample, strands),
        () => {
          const chosen = sample.picks.slice(picks.from - 1, picks.to);
          const passes = chosen.flatMap((pick) => pick.passes.filter((weftPass, index) => touches(index, weftPass)));
          if (passes.length === 0) {
            return problemAt(['picks'], `has no such pass in ${spanInWords('pick', picks)}`, 'choose other picks');
          }
          const across = passes.find(isAcross);
          const short = across && !joined && shortWeftProblem(sample, strands);
          if (short) return short;
          const full = passes.find((weftPass) => exchanged(weftPass.strands).length > 16);
          return full ? fieldProblem(passSchema.entries.strands, exchanged(full.strands), ['picks']) : null;
        },
      ),
    apply(draft) {
      const yarns = plain(draft.yarns);
      changePicks(draft, picks, (weftPick) => ({
        ...weftPick,
        passes: weftPick.passes.map((weftPass, index) =>
          touches(index, weftPass)
            ? edgesFor({ ...weftPass, strands: exchanged(weftPass.strands) }, weftPass.strands, yarns)
            : weftPass,
        ),
      }));
    },
  };
}

/** A refusal that tries the change on a copy of one pick. */
function trialRefusal(sample: Sample, pick: number, change: (copy: WeftPick) => void): DocumentProblem | null {
  const copy = structuredClone(sample.picks[pick - 1]) as WeftPick;
  change(copy);
  return triedPickProblem(sample, pick - 1, copy);
}

function passProblem(sample: Sample, pick: number, pass: number): DocumentProblem | null {
  return firstProblem(
    () => pickSpanProblem(sample, { from: pick, to: pick }),
    () => {
      const count = sample.picks[pick - 1].passes.length;
      if (Number.isInteger(pass) && pass >= 1 && pass <= count) return null;
      return problemAt(['picks', pick - 1], `has no pass ${pass}`, `choose one of its ${count}`);
    },
  );
}

/** Everything of a pass but its yarns; a key left out stays as it is, null takes an optional field away. */
export interface PassShape {
  readonly fromEnd?: number | null;
  readonly toEnd?: number | null;
  readonly enters?: WeftPass['enters'];
  readonly ends?: WeftPass['ends'];
  readonly tailMm?: number | null;
}

function reshape(pass: WeftPass, shape: PassShape): void {
  if (shape.enters !== undefined) pass.enters = shape.enters;
  if (shape.ends !== undefined) pass.ends = shape.ends;
  for (const key of ['fromEnd', 'toEnd', 'tailMm'] as const) {
    const value = shape[key];
    if (value === null) delete pass[key];
    else if (value !== undefined) pass[key] = value;
  }
}

/** Moves a pass's first and last end, or changes how it enters and leaves. */
export function setPassShape(options: {
  readonly pick: number;
  readonly pass: number;
  readonly shape: PassShape;
}): Command {
  const { pick, pass, shape } = options;
  return {
    name: () => `change pass ${pass} of pick ${pick}`,
    refusal: (sample) =>
      firstProblem(
        () => passProblem(sample, pick, pass),
        () => trialRefusal(sample, pick, (copy) => reshape(copy.passes[pass - 1], shape)),
      ),
    apply: (draft) => reshape(draft.picks[pick - 1].passes[pass - 1], shape),
  };
}

/** Lays one more weft in a pick's shed, after those there. */
export function addPass(options: { readonly pick: number; readonly pass: WeftPass }): Command {
  const { pick } = options;
  const pass = structuredClone(options.pass);
  return {
    name: (sample) => `lay ${strandsInWords(sample, pass.strands)} in pick ${pick}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, { from: pick, to: pick }),
        () => strandsProblem(sample, pass.strands),
        () =>
          sample.picks[pick - 1].passes.length < 64
            ? null
            : problemAt(['picks', pick - 1], 'has 64 passes already', 'use another pick'),
        () => trialRefusal(sample, pick, (copy) => copy.passes.push(pass)),
      ),
    apply(draft) {
      draft.picks[pick - 1].passes.push(pass);
    },
  };
}

/** Takes a weft out of a pick's shed; the last one cannot go, since a pick without weft is no pick. */
export function removePass(options: { readonly pick: number; readonly pass: number }): Command {
  const { pick, pass } = options;
  return {
    name: () => `take pass ${pass} out of pick ${pick}`,
    refusal: (sample) =>
      firstProblem(
        () => passProblem(sample, pick, pass),
        () =>
          sample.picks[pick - 1].passes.length > 1
            ? null
            : problemAt(['picks', pick - 1], 'has only this pass', 'delete the pick instead'),
      ),
    apply(draft) {
      draft.picks[pick - 1].passes.splice(pass - 1, 1);
    },
  };
}
