import { checkWarp } from '#document/check/checkSample.ts';
import { type EndOrder, formatEndOrder, parseEndOrder } from '#document/notation/endOrder.ts';
import { threadingOver } from '#document/notation/threading.ts';
import { type DocumentProblem, problemAt, problemsUnder } from '#document/problem.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { warpSchema } from '#document/schema/warpSchema.ts';
import { type Command, firstProblem, type Span, spanInWords, spanProblem, strandsInWords } from './command.ts';
import { strandsProblem } from './passCommands.ts';

/** The order with ends `span` replaced. */
function withEnds(order: EndOrder, span: Span, strands: readonly string[]): EndOrder {
  const key = strands.join('+');
  const known = order.palette.findIndex((entry) => entry.join('+') === key);
  const palette = known < 0 ? [...order.palette, strands] : order.palette;
  const index = order.index.slice();
  index.fill(known < 0 ? order.palette.length : known, span.from - 1, span.to);
  return { palette, index };
}

/** Refuses what would change a warp that is on a loom. */
export function fixedProblem(sample: SampleBody): DocumentProblem | null {
  if (!sample.warp.fixed) return null;
  return problemAt(['warp'], 'is on the loom and cannot change', 'release it first, to plan another warp');
}

/** Warps these ends with the strands. Refused while the warp is fixed on its loom. */
export function setEndYarn(options: { readonly ends: Span; readonly strands: readonly string[] }): Command {
  const { ends } = options;
  const strands = [...options.strands];
  return {
    name: (sample) => `warp ${spanInWords('end', ends)} with ${strandsInWords(sample, strands)}`,
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => spanProblem(ends, sample.warp.ends, ['warp'], 'end'),
        () => strandsProblem(sample, strands),
      ),
    apply(draft) {
      const order = parseEndOrder(draft.warp.order);
      if (order.ok) draft.warp.order = formatEndOrder(withEnds(order.value, ends, strands));
    },
  };
}

/** Sleys the warp otherwise: reed, ends of each dent. Refused while the warp is fixed on its loom. */
export function setReed(reed: { readonly dentsPerCm?: number; readonly endsPerDent?: number | string }): Command {
  const sleyed = (sample: SampleBody) => ({ ...sample.warp, reed: { ...sample.warp.reed, ...reed } });
  return {
    name: () => 'sley the warp otherwise',
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => fieldProblem(warpSchema.entries.reed, sleyed(sample).reed, ['warp', 'reed']),
        () => problemsUnder(['warp'], checkWarp(sleyed(sample), sample.loom, sample.yarns))[0] ?? null,
      ),
    apply(draft) {
      Object.assign(draft.warp.reed, reed);
    },
  };
}

/**
 * Draws the warp in as the notation says, begun again until the ends run out ("1-8", "point 8"). Refused while the warp is
 * fixed on its loom.
 */
export function setThreading(notation: string): Command {
  return {
    name: () => 'draw the warp in otherwise',
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => {
          const drawn = threadingOver(notation, sample.warp.ends);
          if (!drawn.ok) return drawn.problems[0];
          const warp = { ...sample.warp, threading: drawn.value };
          return problemsUnder(['warp'], checkWarp(warp, sample.loom, sample.yarns))[0] ?? null;
        },
      ),
    apply(draft) {
      const drawn = threadingOver(notation, draft.warp.ends);
      if (drawn.ok) draft.warp.threading = drawn.value;
    },
  };
}

/** How far the tension of ends differs, standard deviation in per cent of the mean; null or 0: all alike. */
export function setTensionSpread(percent: number | null): Command {
  return {
    name: () => (percent ? 'stretch the ends unevenly' : 'stretch the ends evenly'),
    refusal: () =>
      percent === null
        ? null
        : fieldProblem(warpSchema.entries.tensionSpreadPercent, percent, ['warp', 'tensionSpreadPercent']),
    apply(draft) {
      if (percent) draft.warp.tensionSpreadPercent = percent;
      else delete draft.warp.tensionSpreadPercent;
    },
  };
}

/** Ends on a second beam that are let off longer, or null: one beam. Refused while the warp is fixed on its loom. */
export function setSecondBeam(beam: { readonly ends: string; readonly slackPercent: number } | null): Command {
  return {
    name: () => (beam ? 'let ends off slack from a second beam' : 'take all ends on one beam'),
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => (beam ? fieldProblem(warpSchema.entries.secondBeam, beam, ['warp', 'secondBeam']) : null),
        () =>
          beam
            ? (problemsUnder(['warp'], checkWarp({ ...sample.warp, secondBeam: beam }, sample.loom, sample.yarns))[0] ??
              null)
            : null,
      ),
    apply(draft) {
      if (beam) draft.warp.secondBeam = { ...beam };
      else delete draft.warp.secondBeam;
    },
  };
}

/** Whether the warp is taken as it stands on the loom, or may still be planned. */
export function setWarpFixed(fixed: boolean): Command {
  return {
    name: () => (fixed ? 'fix the warp' : 'release the warp'),
    refusal: () => null,
    apply(draft) {
      if (fixed) draft.warp.fixed = true;
      else delete draft.warp.fixed;
    },
  };
}

/** Tension of each warp end, centinewtons. It is the weaver's to set even where the warp is fixed. */
export function setWarpTension(tensionCNPerEnd: number): Command {
  return {
    name: (sample) => `${tensionCNPerEnd < sample.warp.tensionCNPerEnd ? 'slacken' : 'tighten'} the warp`,
    refusal: () => fieldProblem(warpSchema.entries.tensionCNPerEnd, tensionCNPerEnd, ['warp', 'tensionCNPerEnd']),
    apply(draft) {
      draft.warp.tensionCNPerEnd = tensionCNPerEnd;
    },
  };
}
