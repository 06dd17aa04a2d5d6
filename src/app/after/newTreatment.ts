import type { Treatment, TreatmentKind } from '#document/schema/afterLoomSchema.ts';

/** What each is called where one is chosen, in the order in which they are mostly done. */
export const treatmentNames: readonly (readonly [TreatmentKind, string])[] = [
  ['overdye', 'Over-dye'],
  ['brush', 'Brush'],
];

/** A treatment as it stands before anything of it is chosen. */
export function newTreatment(kind: TreatmentKind): Treatment | undefined {
  switch (kind) {
    case 'overdye':
      return { kind, dye: 'fibreReactive', colour: '#4f86a8', depth: 1 };
    case 'brush':
      return { kind, side: 'face', strength: 'raised' };
    default:
      return undefined;
  }
}
