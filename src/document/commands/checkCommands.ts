import { checkSampleBody, liftLimit } from '#document/check/checkSample.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import type { WeftPick } from '#document/schema/pickSchema.ts';
import { type Sample, type SampleUse, sampleBodySchema } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import { warpBeside } from '#document/warpBeside.ts';
import { type Command, plain } from './command.ts';
import { type ShedPick, withSheds } from './sheds.ts';
import { bodyOf } from './versionCommands.ts';

/** What the cloth is for; null: not said, so that floats are free. */
export function setUse(use: SampleUse | null): Command {
  return {
    name: () => (use === null ? 'leave open what the cloth is for' : `weave it for ${use.kind}`),
    refusal: () => (use === null ? null : fieldProblem(sampleBodySchema.entries.use, use, ['use'])),
    apply(draft) {
      if (use === null) delete draft.use;
      else draft.use = { ...use };
    },
  };
}

/** A loom with the warp that is on it. */
export interface LoomAndWarp {
  readonly loom: LoomCard;
  readonly warp: WarpCard;
}

/**
 * Weaves these lifts (or treadles) in place of the picks' own, one list a pick; on another loom with its warp, where one
 * is given. The wefts stay; ends whose yarn has an id that names another yarn of the sample get one of their own.
 */
export function weaveLifts(lifts: readonly (readonly number[])[], on?: LoomAndWarp): Command {
  const changed = (sample: Sample): Sample => {
    const sheds = sample.picks.map((_, k): ShedPick => ({ lift: lifts[k] ?? [] }));
    const picks = withSheds(sample, sheds, 1);
    if (!on) return { ...sample, picks };
    return { ...sample, picks, loom: on.loom, ...warpBeside(sample.yarns, on.warp) };
  };
  return {
    name: () => (on ? `weave it on ${on.loom.name}` : 'weave the nearest that this loom can'),
    refusal(sample): DocumentProblem | null {
      if (lifts.length !== sample.picks.length) {
        return problemAt(['picks'], `are ${sample.picks.length}, but ${lifts.length} lifts were given`, 'fit it again');
      }
      return checkSampleBody(bodyOf(changed(sample)))[0] ?? null;
    },
    apply(draft) {
      const { picks, loom, warp, yarns } = changed(plain(draft));
      draft.picks = picks;
      if (!on) return;
      draft.loom = loom;
      draft.warp = warp;
      draft.yarns = yarns;
    },
  };
}

const across = (side: 'left' | 'right') => (side === 'left' ? 'right' : 'left');

const otherSide = { face: 'back', back: 'face', both: 'both' } as const;
const otherKeep = { left: 'right', right: 'left', inside: 'inside', outside: 'outside' } as const;

/** A treatment of a cloth of so many picks that is turned over its top edge. */
function turnedOver(treatment: Treatment, picks: number): Treatment {
  switch (treatment.kind) {
    case 'overdye':
      return treatment;
    case 'brush':
      return { ...treatment, side: otherSide[treatment.side] };
    case 'foil':
      return { ...treatment, side: otherSide[treatment.side] };
    case 'bend': {
      const { toPick = treatment.pick } = treatment;
      const to = treatment.toPick === undefined ? {} : { toPick: picks + 1 - treatment.pick };
      return { ...treatment, pick: picks + 1 - toPick, ...to, side: otherSide[treatment.side] };
    }
    case 'clip': {
      const { fromPick, toPick, ...part } = treatment.part ?? {};
      const turned = {
        ...part,
        ...(toPick === undefined ? {} : { fromPick: picks + 1 - toPick }),
        ...(fromPick === undefined ? {} : { toPick: picks + 1 - fromPick }),
      };
      return { ...treatment, side: otherSide[treatment.side], ...(treatment.part ? { part: turned } : {}) };
    }
    case 'cut':
      return {
        ...treatment,
        line: treatment.line.map(({ end, pick }) => ({ end, pick: picks + 1 - pick })),
        ...(treatment.side ? { side: otherSide[treatment.side] } : {}),
        // As one follows the line it is mirrored.
        ...(treatment.keep ? { keep: otherKeep[treatment.keep] } : {}),
      };
  }
}

/**
 * The same cloth with its back uppermost on the loom: opposite lifts, last pick first, and wefts that enter where they
 * left. Turned over its top edge it is the face as it was. Only where each shaft is lifted by itself.
 */
export function weaveBackUppermost(): Command {
  return {
    name: () => 'weave it with the other side uppermost',
    refusal: (sample) =>
      liftLimit(sample).thing === 'shaft'
        ? null
        : problemAt(
            ['picks'],
            'are lifted by treadles, whose opposite may not be tied',
            'tie up the opposite lifts first',
          ),
    apply(draft) {
      const sample = plain(draft);
      const { most } = liftLimit(sample);
      const count = sample.picks.length;
      const turned = sample.picks.map((pick): WeftPick => {
        const lift = Array.from({ length: most }, (_, k) => k + 1).filter((shaft) => !pick.lift.includes(shaft));
        const passes = pick.passes.map((pass) => ({
          ...pass,
          enters: pass.fromEnd === undefined && pass.toEnd === undefined ? across(pass.enters) : pass.enters,
        }));
        return { ...pick, lift, passes };
      });
      draft.picks = turned.reverse();
      if (sample.afterLoom) draft.afterLoom = sample.afterLoom.map((treatment) => turnedOver(treatment, count));
      if (sample.faults) {
        draft.faults = sample.faults.map((fault) =>
          fault.kind === 'skippedEnd' ? { ...fault, pick: count + 1 - fault.pick } : fault,
        );
      }
      const hung = { firstPickBelow: 'firstPickAbove', firstPickAbove: 'firstPickBelow' } as const;
      if (sample.hungThisWayUp === 'firstPickBelow' || sample.hungThisWayUp === 'firstPickAbove') {
        draft.hungThisWayUp = hung[sample.hungThisWayUp];
      }
    },
  };
}
