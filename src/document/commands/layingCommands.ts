import { passSpan } from '#document/check/checkPasses.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { pickSchema, type WeftPass, type WeftPick } from '#document/schema/pickSchema.ts';
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
  spanProblem,
  strandsInWords,
} from './command.ts';
import { cutAtEdges, edgesFor, isAcross, shortWeftProblem, turnedAtEdges } from './edgeOfPass.ts';
import { goWithPicks, keptPicks, type PickOrigin } from './goWithPicks.ts';
import { strandsProblem } from './passCommands.ts';
import { followShuttles } from './shuttleSides.ts';
import { triedPickProblem } from './triedPick.ts';

/** How a weft is laid by hand over part of the width. */
export interface Laying {
  readonly picks: Span;
  readonly ends: Span;
  readonly strands: readonly string[];
  /** Beside the ground pick in its shed; in its place there, as in tapestry; or in a pick of its own after each. */
  readonly how: 'inlay' | 'tapestry' | 'ownShed';
  /** In tapestry, where it meets the ground's weft. */
  readonly join: 'slit' | 'dovetail' | 'interlock';
  /** Beside or after the ground pick: goes back with the next pick, is cut, or goes on behind to where it is laid next. */
  readonly leaves: 'turn' | 'cut' | 'behind' | 'tied';
  readonly tailMm: number;
  readonly tails: NonNullable<WeftPass['tails']>;
}

const sameStrands = (a: readonly string[], b: readonly string[]) => a.join('+') === b.join('+');

/** The weft over its part of the width; `turn` counts its picks, so that it goes to and fro. */
function partPass({ strands, ends, leaves, tailMm, tails }: Laying, turn: number): WeftPass {
  const pass: WeftPass = {
    strands: [...strands],
    fromEnd: ends.from,
    toEnd: ends.to,
    enters: turn % 2 === 0 ? 'left' : 'right',
    ends: leaves,
  };
  return leaves === 'cut' ? cutAtEdges(pass, tailMm, tails) : pass;
}

/** The ground's weft kept to both sides of the part, and the weft laid between. */
function tapestry(pick: WeftPick, laying: Laying, ends: number): WeftPick | undefined {
  const { from, to } = laying.ends;
  const at = pick.passes.findIndex((pass) => {
    const span = passSpan(pass, ends);
    return span.from <= from && span.to >= to;
  });
  if (at < 0) return undefined;
  const ground = pick.passes[at];
  const span = passSpan(ground, ends);
  // Dovetailed, both turn round one end.
  const shared = laying.join === 'dovetail' ? 1 : 0;
  const piece = (strands: readonly string[], first: number, last: number): WeftPass[] => {
    if (last < first) return [];
    const leavesAt = ground.enters === 'left' ? last : first;
    const atEdge = ground.enters === 'left' ? leavesAt === ends : leavesAt === 1;
    const joined = laying.join === 'dovetail' ? 'turn' : laying.join;
    return [
      {
        strands: [...strands],
        ...(first === 1 && last === ends ? {} : { fromEnd: first, toEnd: last }),
        enters: ground.enters,
        ends: atEdge ? 'selvedge' : joined,
      },
    ];
  };
  const pieces = [
    ...(from > span.from ? piece(ground.strands, span.from, from - 1 + shared) : []),
    ...piece(laying.strands, from, to),
    ...(to < span.to ? piece(ground.strands, to + 1 - shared, span.to) : []),
  ];
  return { ...pick, passes: [...pick.passes.slice(0, at), ...pieces, ...pick.passes.slice(at + 1)] };
}

/** Whether one that goes on behind may lie here and there in one shed: this part is another of its parts. */
function isBesideIt({ fromEnd, toEnd }: WeftPass, { leaves, ends }: Laying): boolean {
  if (leaves !== 'behind' && leaves !== 'tied') return false;
  return fromEnd !== undefined && toEnd !== undefined && (fromEnd > ends.to || toEnd < ends.from);
}

/** Whether nothing but this weft lies in the shed, over part of the width. */
function isItsOwn(pick: WeftPick | undefined, { strands }: Laying): boolean {
  return pick?.passes.every((pass) => !isAcross(pass) && sameStrands(pass.strands, strands)) ?? false;
}

/** Another part of a weft that goes on behind, in the shed that it has already. */
function furtherOn(pick: WeftPick, laying: Laying): WeftPick {
  const part = { ...partPass(laying, 0), enters: pick.passes[0].enters };
  const others = pick.passes.filter((pass) => isBesideIt(pass, laying));
  return { ...pick, passes: [...others, part].sort((a, b) => (a.fromEnd ?? 1) - (b.fromEnd ?? 1)) };
}

/** The weft beside the ground pick; where it lies in this shed already, it is laid anew. */
function inlay(pick: WeftPick, laying: Laying, turn: number): WeftPick {
  const there = (pass: WeftPass, k: number) => k > 0 && sameStrands(pass.strands, laying.strands);
  const part = partPass(laying, turn);
  const at = pick.passes.findIndex((pass, k) => there(pass, k) && !isBesideIt(pass, laying));
  const pass = { ...part, enters: pick.passes.find(there)?.enters ?? part.enters };
  if (at < 0) return { ...pick, passes: [...pick.passes, pass] };
  return { ...pick, passes: pick.passes.map((each, k) => (k === at ? pass : each)) };
}

function laid(picks: readonly WeftPick[], index: number, laying: Laying, ends: number): WeftPick[] | undefined {
  const pick = picks[index];
  const turn = index - (laying.picks.from - 1);
  if (laying.how === 'inlay') return [inlay(pick, laying, turn)];
  if (laying.how === 'ownShed') {
    if (laying.leaves === 'behind' || laying.leaves === 'tied') {
      if (isItsOwn(pick, laying)) return [furtherOn(pick, laying)];
      if (isItsOwn(picks[index + 1], laying)) return [pick];
    }
    const { pauseBeforeMin: _pause, ...own } = pick;
    return [pick, { ...own, passes: [partPass(laying, turn)] }];
  }
  const woven = tapestry(pick, laying, ends);
  return woven && [woven];
}

/** Lays a weft by hand over some ends of these picks. */
export function layOnlyHere(laying: Laying): Command {
  const { picks, ends, strands } = laying;
  return {
    name: (sample) =>
      `lay ${strandsInWords(sample, strands)} over ${spanInWords('end', ends)} of ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => spanProblem(ends, sample.warp.ends, ['warp'], 'end'),
        () => strandsProblem(sample, strands),
        () => layingProblem(sample, laying),
      ),
    apply(draft) {
      const woven = plain(draft.picks);
      const changed: WeftPick[] = [];
      const origins: PickOrigin[] = [];
      woven.forEach((pick, index) => {
        const turn = index - (picks.from - 1);
        const within = turn >= 0 && index < picks.to;
        const here = (within && laid(woven, index, laying, draft.warp.ends)) || [pick];
        changed.push(...here);
        origins.push(...keptPicks(index, index + 1), ...here.slice(1).map(() => null));
      });
      if (changed.length !== woven.length) goWithPicks(draft, origins);
      draft.picks = laying.how === 'ownShed' ? followShuttles(woven, changed, picks.from - 1) : changed;
    },
  };
}

function layingProblem(sample: Sample, laying: Laying): DocumentProblem | null {
  const { picks } = laying;
  for (let index = picks.from - 1; index < picks.to; index++) {
    const outcome = laid(sample.picks, index, laying, sample.warp.ends);
    if (!outcome) {
      const what = `has no weft over ${spanInWords('end', laying.ends)} whose place could be taken`;
      return problemAt(['picks', index], what, 'lay it beside the ground pick, or in a shed of its own');
    }
    for (const pick of outcome) {
      const problem = triedPickProblem(sample, index, pick);
      if (problem) return problem;
    }
  }
  return null;
}

/** Takes a weft that lies over part of the width right across, as it would come through everywhere. */
export function layAcross(options: { readonly picks: Span; readonly strands: readonly string[] }): Command {
  const { picks, strands } = options;
  const lies = (pass: WeftPass) => !isAcross(pass) && sameStrands(pass.strands, strands);
  return {
    name: (sample) => `lay ${strandsInWords(sample, strands)} across ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () =>
          sample.picks.slice(picks.from - 1, picks.to).some((pick) => pick.passes.some(lies))
            ? null
            : problemAt(['picks', picks.from - 1], 'has no such weft over part of the width', 'choose another weft'),
        () => shortWeftProblem(sample, strands),
      ),
    apply(draft) {
      const { yarns } = draft;
      changePicks(draft, picks, (pick) =>
        pick.passes.some(lies)
          ? {
              ...pick,
              // Of several parts in one shed one weft runs across.
              passes: pick.passes.flatMap((pass, k) => {
                if (!lies(pass)) return [pass];
                if (pick.passes.findIndex(lies) < k) return [];
                const { fromEnd: _from, toEnd: _to, ...across } = pass;
                return [edgesFor(turnedAtEdges(across), strands, plain(yarns))];
              }),
            }
          : pick,
      );
    },
  };
}

/** Cuts the wefts of these picks at both edges, with so long a tail, or (null) takes them round the edge again. */
export function setTails(options: {
  readonly picks: Span;
  readonly tails: { readonly tailMm: number; readonly kind: NonNullable<WeftPass['tails']> } | null;
}): Command {
  const { picks, tails } = options;
  const changed = (pick: WeftPick): WeftPick => ({
    ...pick,
    passes: pick.passes.map((pass) => {
      if (tails) return isAcross(pass) || pass.ends === 'cut' ? cutAtEdges(pass, tails.tailMm, tails.kind) : pass;
      return isAcross(pass) ? turnedAtEdges(pass) : pass;
    }),
  });
  return {
    name: () => `${tails ? 'cut the weft at' : 'turn the weft at'} the edges of ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => fieldProblem(pickSchema, changed(sample.picks[picks.from - 1]), ['picks', picks.from - 1]),
      ),
    apply: (draft) => changePicks(draft, picks, changed),
  };
}

/** Weaves these picks over part of the ends alone: every weft that runs across turns within the warp. */
export function weaveNarrower(options: { readonly picks: Span; readonly ends: Span }): Command {
  const { picks, ends } = options;
  const changed = (pick: WeftPick): WeftPick => ({
    ...pick,
    passes: pick.passes.map((pass) =>
      isAcross(pass)
        ? { ...pass, fromEnd: ends.from, toEnd: ends.to, ends: pass.ends === 'selvedge' ? 'turn' : pass.ends }
        : pass,
    ),
  });
  return {
    name: () => `weave ${spanInWords('pick', picks)} over ${spanInWords('end', ends)} alone`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => spanProblem(ends, sample.warp.ends, ['warp'], 'end'),
        () => {
          for (let index = picks.from - 1; index < picks.to; index++) {
            const problem = triedPickProblem(sample, index, changed(sample.picks[index]));
            if (problem) return problem;
          }
          return null;
        },
      ),
    apply: (draft) => changePicks(draft, picks, changed),
  };
}
