import { checkSampleBody } from '#document/check/checkSample.ts';
import { formatEndOrder, parseEndOrder } from '#document/notation/endOrder.ts';
import { beamOfEnds, formatBeams } from '#document/notation/secondBeam.ts';
import { readThreading } from '#document/notation/threading.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_ENDS } from '#document/schema/fields.ts';
import type { WeftPick } from '#document/schema/pickSchema.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';
import { formatThreading } from '#engine/draft/formatNotation.ts';
import { type Command, firstProblem, plain, type Span, spanInWords, spanProblem } from './command.ts';
import { treatmentsOnEnds } from './goWithPicks.ts';
import { bodyOf } from './versionCommands.ts';
import { fixedProblem } from './warpCommands.ts';

/** Ends in another number: for each new end, from 0, the old one that it is, ascending but for ends that come again. */
type EndsKept = readonly number[];

/** Takes ends out of the warp, all others closing up. Refused while the warp is fixed on its loom. */
export function takeOutEnds(ends: Span): Command {
  return otherEnds(ends, 'take out', ({ warp }) =>
    Array.from({ length: warp.ends }, (_, end) => end).filter((end) => end < ends.from - 1 || end >= ends.to),
  );
}

/** Lays ends in once more beside themselves, yarn and shaft alike, the rest moving on. Refused while the warp is fixed. */
export function repeatEnds(options: { readonly ends: Span; readonly times?: number }): Command {
  const { ends, times = 1 } = options;
  return otherEnds(ends, 'repeat', ({ warp }) => {
    const all = Array.from({ length: warp.ends }, (_, end) => end);
    const more = Array.from({ length: times }, () => all.slice(ends.from - 1, ends.to)).flat();
    return [...all.slice(0, ends.to), ...more, ...all.slice(ends.to)];
  });
}

function otherEnds(ends: Span, verb: string, keep: (sample: SampleBody) => EndsKept): Command {
  return {
    name: () => `${verb} ${spanInWords('end', ends)}`,
    refusal: (sample) =>
      firstProblem(
        () => fixedProblem(sample),
        () => spanProblem(ends, sample.warp.ends, ['warp'], 'end'),
        () => countProblem(keep(sample).length),
        () => {
          const changed = withEnds(bodyOf(sample), keep(sample));
          return 'message' in changed ? changed : (checkSampleBody(changed)[0] ?? null);
        },
      ),
    apply(draft) {
      const body = bodyOf(plain(draft) as Sample);
      const changed = withEnds(body, keep(body));
      if (!('message' in changed))
        Object.assign(draft, {
          ...{ warp: changed.warp, picks: changed.picks },
          ...{ faults: changed.faults, afterLoom: changed.afterLoom },
        });
      if (draft.faults === undefined) delete draft.faults;
      if (draft.afterLoom === undefined) delete draft.afterLoom;
    },
  };
}

function countProblem(count: number): DocumentProblem | null {
  if (count >= 1 && count <= MOST_ENDS) return null;
  return problemAt(['warp'], `would have ${count} ends`, `keep 1 to ${MOST_ENDS}`);
}

function withEnds(body: SampleBody, kept: EndsKept): SampleBody | DocumentProblem {
  const threading = readThreading(body.warp.threading);
  const order = parseEndOrder(body.warp.order);
  if (!threading.ok) return threading.problems[0];
  if (!order.ok) return order.problems[0];
  const { palette, index } = order.value;
  const { secondBeam } = body.warp;
  const beams = secondBeam && beamOfEnds(secondBeam, body.warp.ends);
  const warp = {
    ...body.warp,
    ends: kept.length,
    threading: formatThreading(Uint8Array.from(kept, (end) => threading.value[end])),
    order: formatEndOrder({ palette, index: Uint16Array.from(kept, (end) => index[end]) }),
    ...(secondBeam && beams ? { secondBeam: { ...secondBeam, ends: formatBeams(kept.map((end) => beams[end])) } } : {}),
  };
  // First new place of an old end, or of the next one that is left; and the last of it, or of the one before.
  const firstOf = (end: number) => kept.findIndex((old) => old >= end) + 1;
  const lastOf = (end: number) => kept.findLastIndex((old) => old <= end) + 1;
  const picks: WeftPick[] = [];
  for (const [at, pick] of body.picks.entries()) {
    const passes = pick.passes.map((pass) => ({
      ...pass,
      ...(pass.fromEnd === undefined ? {} : { fromEnd: firstOf(pass.fromEnd - 1) }),
      ...(pass.toEnd === undefined ? {} : { toEnd: lastOf(pass.toEnd - 1) }),
    }));
    const gone = passes.find(({ fromEnd = 1, toEnd = kept.length }) => fromEnd === 0 || toEnd < fromEnd);
    if (gone) return problemAt(['picks', at], 'has a weft laid over these ends alone', 'take that weft out first');
    picks.push({ ...pick, passes });
  }
  const faults = body.faults?.flatMap((fault) => {
    const end = kept.indexOf(fault.end - 1);
    return end < 0 ? [] : [{ ...fault, end: end + 1 }];
  });
  const after = body.afterLoom && treatmentsOnEnds(body.afterLoom, kept, body.warp.ends);
  return {
    ...{ ...body, warp, picks },
    faults: faults?.length ? faults : undefined,
    afterLoom: after?.length ? after : undefined,
  };
}
