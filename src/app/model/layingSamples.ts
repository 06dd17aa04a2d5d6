import { loadSample } from '#document/commands/versionCommands.ts';
import type { DocumentProblem } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import type { Autosave } from '#io/autosave/autosave.ts';
import type { Restored } from '#io/autosave/restore.ts';

export interface LayingSamples {
  /** Puts a sample on the table; the one left stays kept as it is. `tableId`: where it was kept before. */
  lay(sample: Sample, tableId?: string): Promise<DocumentProblem | null>;
  /** Puts the sample in place of the one on the table, as its new state. */
  layAfresh(sample: Sample): DocumentProblem | null;
  /** The sample of this name as it was left; null where it was never worked on. */
  recall(name: string): Promise<(Pick<Restored, 'sample' | 'fellBackBecause'> & { tableId?: string }) | null>;
}

/**
 * Keeps samples apart in the browser's storage while one after another comes onto the table: each is saved where it was
 * saved before, also when undo or redo brings it back.
 */
export function createLayingSamples(samples: SampleStore, autosave: Autosave): LayingSamples {
  const now = () => samples.state.getState().sample;
  /** Where each sample was last saved, by its name. */
  const tableIds = new Map([[now().name, autosave.state.getState().tableId]]);
  /** Samples that were left while the browser could not keep them. */
  const unkept = new Map<string, Sample>();
  let laying = false;

  function put(sample: Sample): DocumentProblem | null {
    laying = true;
    const refusal = samples.dispatch(loadSample(sample));
    laying = false;
    tableIds.set(now().name, autosave.state.getState().tableId);
    return refusal;
  }

  samples.state.subscribe(({ sample }, { sample: before }) => {
    // Undo or redo has put one sample for another; a sample that only changes its name keeps its picks.
    if (laying || sample.name === before.name || sample.picks === before.picks) return;
    void autosave.saveAsCopy(tableIds.get(sample.name));
  });

  return {
    async lay(sample, tableId) {
      samples.commit();
      await autosave.flush();
      const left = now();
      if (autosave.state.getState().status === 'saved') unkept.delete(left.name);
      else unkept.set(left.name, left);
      await autosave.openTable(tableId);
      return put(sample);
    },
    layAfresh(sample) {
      samples.commit();
      return put(sample);
    },
    async recall(name) {
      samples.commit();
      await autosave.flush();
      const sample = unkept.get(name);
      return sample ? { sample } : autosave.recall(name);
    },
  };
}
