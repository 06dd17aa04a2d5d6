import { spanInWords } from '#document/commands/command.ts';
import { shortWeftProblem, USUAL_TAIL_MM } from '#document/commands/edgeOfPass.ts';
import { setPassYarn } from '#document/commands/passCommands.ts';
import { setEndYarn } from '#document/commands/warpCommands.ts';
import { windWith } from '#document/commands/windCommands.ts';
import { addYarn } from '#document/commands/yarnCommands.ts';
import type { DocumentProblem } from '#document/problem.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import { turnsAtEdge } from '#engine/yarn/turning.ts';
import type { ThreadRange } from './tableState.ts';

/** Said instead of a promise where ends of a fixed warp are selected, and when a yarn is put there all the same. */
export const warpStaysWords = 'The warp is on the loom: its ends stay as they are.';

/** What to tell the reader, and whether it failed because the weft is shorter than the web. */
export interface WovenOutcome {
  readonly said: string;
  readonly short: boolean;
}

/** Puts those of the yarns on the sample's shelf that are in stock only: what weaves with them can follow in the same step. */
export function bringFromStock(
  samples: SampleStore,
  stock: readonly YarnCard[],
  yarnIds: Iterable<string>,
): DocumentProblem | null {
  for (const id of new Set(yarnIds)) {
    const card = stock.find((each) => each.id === id);
    if (!card || Object.hasOwn(samples.state.getState().sample.yarns, id)) continue;
    const refusal = samples.dispatch(addYarn(card));
    if (refusal) return refusal;
  }
  return null;
}

/** Winds one more yarn into picks as one undo step, bringing it from the stock; says why not, else nothing. */
export function windTogether(
  samples: SampleStore,
  stock: readonly YarnCard[],
  strand: Parameters<typeof windWith>[0],
): string {
  const command = windWith(strand);
  const name = stock.find(({ id }) => id === strand.yarn)?.name ?? strand.yarn;
  const { sample } = samples.state.getState();
  const known = Object.hasOwn(sample.yarns, strand.yarn);
  samples.begin(known ? command.name(sample) : `wind ${name} into ${spanInWords('pick', strand.picks)}`);
  const refusal = bringFromStock(samples, stock, [strand.yarn]) ?? samples.dispatch(command);
  if (refusal) samples.cancel();
  else samples.commit();
  return refusal?.message ?? '';
}

/**
 * Weaves picks (or warps ends) with a yarn as one undo step; a yarn from the stock comes onto the sample's shelf with it.
 * `range` counts from 0.
 */
export function weaveWith(
  samples: SampleStore,
  stock: readonly YarnCard[],
  yarnId: string,
  kind: 'picks' | 'ends',
  range: ThreadRange,
  replacing: string | undefined,
): WovenOutcome {
  const { yarns, warp } = samples.state.getState().sample;
  if (kind === 'ends' && warp.fixed) return { said: warpStaysWords, short: false };
  const name = (yarns[yarnId] ?? stock.find((card) => card.id === yarnId))?.name ?? yarnId;
  const span = { from: range.from + 1, to: range.to + 1 };
  const where = spanInWords(kind === 'picks' ? 'pick' : 'end', span);
  samples.begin(kind === 'picks' ? `weave ${where} with ${name}` : `warp ${where} with ${name}`);
  const refusal =
    bringFromStock(samples, stock, [yarnId]) ??
    samples.dispatch(
      kind === 'picks'
        ? setPassYarn({ picks: span, strands: [yarnId], replacing })
        : setEndYarn({ ends: span, strands: [yarnId] }),
    );
  if (refusal) {
    const short = kind === 'picks' && shortWeftProblem(samples.state.getState().sample, [yarnId]) !== null;
    samples.cancel();
    return { said: refusal.message, short };
  }
  samples.commit();
  const card = samples.state.getState().sample.yarns[yarnId];
  const stiff = kind === 'picks' && card && !turnsAtEdge(card.bendingNmm2);
  const cut = stiff
    ? ` It is too stiff to go round the edge: each pick is cut, with ${USUAL_TAIL_MM} mm of it standing out on both sides (Picks, Edges…).`
    : '';
  const said = kind === 'picks' ? `${name} now weaves ${where}.${cut}` : `${name} now stands in ${where}.`;
  return { said, short: false };
}
