import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_TREATMENTS, type Treatment, treatmentSchema } from '#document/schema/afterLoomSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, firstProblem, plain, spanInWords } from './command.ts';

/** A treatment as undo names it. */
function treatmentInWords(treatment: Treatment): string {
  switch (treatment.kind) {
    case 'brush':
      return treatment.side === 'both' ? 'brushing both sides' : `brushing the ${treatment.side}`;
    case 'overdye':
      return 'the over-dye';
    case 'clip':
      return `clipping floats on the ${treatment.side}`;
    case 'cut':
      return treatment.what === 'through' ? 'the cut through' : `cutting ${cutWords[treatment.what]}`;
    case 'bend':
      return `the bend of ${spanInWords('pick', { from: treatment.pick, to: treatment.toPick ?? treatment.pick })}`;
    case 'foil':
      return `foil on the ${treatment.side}`;
  }
}

const cutWords = { floats: 'floats', layer: 'one layer' } as const;

function placeProblem(sample: Sample, place: number): DocumentProblem | null {
  const count = sample.afterLoom?.length ?? 0;
  if (Number.isInteger(place) && place >= 1 && place <= count) return null;
  return problemAt(['afterLoom'], `has no treatment ${place}`, `choose one of the ${count} there`);
}

function treatmentsOf(sample: Sample): Treatment[] {
  return sample.afterLoom ? plain(sample.afterLoom).slice() : [];
}

function put(draft: Sample, treatments: Treatment[]): void {
  if (treatments.length > 0) draft.afterLoom = treatments;
  else delete draft.afterLoom;
}

/** Does it to the cloth, after all that is done already. */
export function addTreatment(treatment: Treatment): Command {
  const copy = structuredClone(treatment);
  return {
    name: () => `add ${treatmentInWords(copy)}`,
    refusal: (sample) =>
      firstProblem(
        () => fieldProblem(treatmentSchema, copy, ['afterLoom', sample.afterLoom?.length ?? 0]),
        () =>
          (sample.afterLoom?.length ?? 0) < MOST_TREATMENTS
            ? null
            : problemAt(['afterLoom'], `has ${MOST_TREATMENTS} treatments already`, 'take one away first'),
      ),
    apply: (draft) => put(draft, [...treatmentsOf(draft), copy]),
  };
}

/** Does treatment `place` (counted from 1) otherwise. */
export function changeTreatment(options: { readonly place: number; readonly treatment: Treatment }): Command {
  const { place, treatment } = structuredClone(options);
  return {
    name: () => `change ${treatmentInWords(treatment)}`,
    refusal: (sample) =>
      firstProblem(
        () => placeProblem(sample, place),
        () => fieldProblem(treatmentSchema, treatment, ['afterLoom', place - 1]),
      ),
    apply: (draft) => put(draft, treatmentsOf(draft).with(place - 1, treatment)),
  };
}

/** Does treatment `place` as the `to`-th instead, both counted from 1. */
export function moveTreatment(options: { readonly place: number; readonly to: number }): Command {
  const { place, to } = options;
  return {
    name: (sample) => {
      const treatment = sample.afterLoom?.[place - 1];
      return `do ${treatment ? treatmentInWords(treatment) : 'it'} ${to < place ? 'sooner' : 'later'}`;
    },
    refusal: (sample) =>
      firstProblem(
        () => placeProblem(sample, place),
        () => placeProblem(sample, to),
      ),
    apply(draft) {
      const treatments = treatmentsOf(draft);
      treatments.splice(to - 1, 0, ...treatments.splice(place - 1, 1));
      put(draft, treatments);
    },
  };
}

/** Leaves treatment `place` (counted from 1) undone. */
export function removeTreatment(place: number): Command {
  return {
    name: (sample) => {
      const treatment = sample.afterLoom?.[place - 1];
      return `leave out ${treatment ? treatmentInWords(treatment) : 'it'}`;
    },
    refusal: (sample) => placeProblem(sample, place),
    apply: (draft) => put(draft, treatmentsOf(draft).toSpliced(place - 1, 1)),
  };
}
