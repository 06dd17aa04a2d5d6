import type { Treatment, TreatmentKind } from '#document/schema/afterLoomSchema.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';

/** What each is called where one is chosen, in the order in which they are mostly done. */
export const treatmentNames: readonly (readonly [TreatmentKind, string])[] = [
  ['overdye', 'Over-dye'],
  ['brush', 'Brush'],
  ['clip', 'Clip floats'],
  ['cut', 'Cut'],
  ['foil', 'Foil leaf'],
];

/** A treatment as it stands before anything of it is chosen; a cut runs across the middle of the cloth. */
export function newTreatment(kind: TreatmentKind, { warp, picks }: Pick<SampleBody, 'warp' | 'picks'>): Treatment {
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
    case 'foil':
      return { kind, side: 'face', colour: '#c9a24a', share: 0.3 };
  }
}
