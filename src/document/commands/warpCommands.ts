import { type EndOrder, formatEndOrder, parseEndOrder } from '#document/notation/endOrder.ts';
import { problemAt } from '#document/problem.ts';
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

/** Warps these ends with the strands. Refused while the warp is fixed on its loom. */
export function setEndYarn(options: { readonly ends: Span; readonly strands: readonly string[] }): Command {
  const { ends } = options;
  const strands = [...options.strands];
  return {
    name: (sample) => `warp ${spanInWords('end', ends)} with ${strandsInWords(sample, strands)}`,
    refusal: (sample) =>
      firstProblem(
        () =>
          sample.warp.fixed
            ? problemAt(['warp'], 'is on the loom and cannot change', 'release it first, to plan another warp')
            : null,
        () => spanProblem(ends, sample.warp.ends, ['warp'], 'end'),
        () => strandsProblem(sample, strands),
      ),
    apply(draft) {
      const order = parseEndOrder(draft.warp.order);
      if (order.ok) draft.warp.order = formatEndOrder(withEnds(order.value, ends, strands));
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
