import { passSpan } from '#document/check/checkPasses.ts';
import type { Treatment, TreatmentKind } from '#document/schema/afterLoomSchema.ts';
import type { WeftPass } from '#document/schema/pickSchema.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';

/** What each is called where one is chosen, in the order in which they are mostly done. */
export const treatmentNames: readonly (readonly [TreatmentKind, string])[] = [
  ['overdye', 'Over-dye'],
  ['brush', 'Brush'],
  ['clip', 'Clip floats'],
  ['cut', 'Cut'],
  ['bend', 'Bend a wire'],
  ['foil', 'Foil leaf'],
];

/** A treatment as it stands before anything of it is chosen; a cut runs across the middle of the cloth, a bend is the first that can be. */
export function newTreatment(
  kind: TreatmentKind,
  { warp, picks, yarns }: Pick<SampleBody, 'warp' | 'picks' | 'yarns'>,
): Treatment {
  const middle = Math.round((picks.length + 1) / 2);
  switch (kind) {
    case 'overdye':
      return { kind, dye: 'fibreReactive', colour: '#4f86a8', depth: 1 };
    case 'brush':
      return { kind, side: 'face', strength: 'raised' };
    case 'clip':
      return { kind, side: 'face', threads: 'weft', atLeast: 3 };
    case 'cut':
      return {
        kind,
        line: [
          { end: 0, pick: middle },
          { end: warp.ends + 1, pick: middle },
        ],
        what: 'floats',
        side: 'face',
        atLeast: 3,
      };
    case 'bend': {
      const bends = ({ strands }: WeftPass) => strands.some((id) => yarnBody(yarnFactsOf(yarns[id])).bends);
      const at = Math.max(
        0,
        picks.findIndex(({ passes }) => passes.some(bends)),
      );
      const { from, to } = passSpan(picks[at].passes.find(bends) ?? picks[at].passes[0], warp.ends);
      return { kind, pick: at + 1, end: (from + to) / 2, angleDegrees: 60, radiusMm: 10, side: 'face' };
    }
    case 'foil':
      return { kind, side: 'face', colour: '#c9a24a', share: 0.3 };
  }
}
