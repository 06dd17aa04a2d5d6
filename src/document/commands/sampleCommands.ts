import { finishSchema, type SampleBody, type SampleFinish, sampleBodySchema } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import type { Command } from './command.ts';

export function renameSample(name: string): Command {
  return {
    name: () => `call the sample "${name}"`,
    refusal: () => fieldProblem(sampleBodySchema.entries.name, name, ['name']),
    apply(draft) {
      draft.name = name;
    },
  };
}

/** Empty text takes the notes away. */
export function setNotes(notes: string): Command {
  return {
    name: () => 'write notes',
    refusal: () => fieldProblem(sampleBodySchema.entries.notes, notes, ['notes']),
    apply(draft) {
      if (notes === '') delete draft.notes;
      else draft.notes = notes;
    },
  };
}

export function setHanging(hungThisWayUp: SampleBody['hungThisWayUp']): Command {
  return {
    name: () => 'hang it another way up',
    refusal: () => fieldProblem(sampleBodySchema.entries.hungThisWayUp, hungThisWayUp, ['hungThisWayUp']),
    apply(draft) {
      draft.hungThisWayUp = hungThisWayUp;
    },
  };
}

/** How the cloth is finished; null: as it comes off the loom. */
export function setFinish(finish: SampleFinish | null): Command {
  const copy = structuredClone(finish);
  return {
    name: () => (copy === null ? 'leave it unfinished' : 'change the finish'),
    refusal: () => (copy === null ? null : fieldProblem(finishSchema, copy, ['finish'])),
    apply(draft) {
      if (copy === null) delete draft.finish;
      else draft.finish = copy;
    },
  };
}
