import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';

type Cut = TreatmentOf<'cut'>;

/** A cut as another kind of cut along the same line: what it has no use for goes, what it needs stands. */
export function cutOfKind({ line, closed, side, atLeast, keep, frayMm }: Cut, what: Cut['what']): Cut {
  const frays = frayMm === undefined ? {} : { frayMm };
  const shape = closed ? ({ kind: 'cut', line, closed } as const) : ({ kind: 'cut', line } as const);
  if (what === 'through') {
    const fits = closed ? keep === 'inside' || keep === 'outside' : keep === 'left' || keep === 'right';
    return { ...shape, ...frays, what, keep: fits ? keep : closed ? 'inside' : 'left' };
  }
  if (what === 'layer') return { ...shape, ...frays, what, side: side ?? 'face' };
  return { ...shape, what, side: side ?? 'face', atLeast: atLeast ?? 3 };
}
