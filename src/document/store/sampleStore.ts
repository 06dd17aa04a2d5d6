import { produce } from 'immer';
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Command } from '#document/commands/command.ts';
import { applyChanges, difference, reverseChanges } from '#document/difference.ts';
import type { DocumentProblem } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { defaultHistoryLimits, History, type HistoryLimits } from './history.ts';

/**
 * The sample on the table, and its history.
 *
 *   const store = createSampleStore(sample);
 *   store.dispatch(setPassYarn({ picks: { from: 4, to: 12 }, strands: ['kelp'] }));    // one undo step
 *
 *   store.begin('drag the beat');                       // a gesture: many dispatches, one undo step
 *   store.dispatch(setBeat({ picks, firmness: 0.62 })); //   on every pointer move
 *   store.commit();                                     // or store.cancel(): as it was before begin
 *
 *   const sample = useStore(store.state, (state) => state.sample);                     // in React (zustand)
 *
 * `sample` is frozen and shares unchanged parts with what it was before, so `===` tells what has changed.
 * A refused command changes nothing and returns why. A command that alters nothing makes no step and keeps redo.
 * Undo or redo within a gesture cancels the gesture first. History lives as long as the page: it is not saved.
 */
export interface SampleState {
  readonly sample: Sample;
  /** Goes up by one with every change of `sample`, undo and redo included. */
  readonly revision: number;
  /** Name of the gesture under way, or null. */
  readonly gesture: string | null;
  /** What undo would undo, in words; null where there is nothing. */
  readonly undoName: string | null;
  readonly redoName: string | null;
}

export interface SampleStore {
  /** For `useStore(store.state, selector)`, `.getState()` and `.subscribe()`. Never call its `setState`. */
  readonly state: StoreApi<SampleState>;
  /** The reason where the command is refused, else null. */
  dispatch(command: Command): DocumentProblem | null;
  /** Whether the command would be taken now, for disabling what offers it: the reason, or null. */
  refusal(command: Command): DocumentProblem | null;
  /** Opens a gesture; one already open is committed first. */
  begin(name: string): void;
  /** Closes the gesture as one undo step. */
  commit(): void;
  /** Closes the gesture and puts back what was before it. */
  cancel(): void;
  /** False where there is nothing to undo. */
  undo(): boolean;
  redo(): boolean;
  /** Number of steps that can be undone, and the memory they hold (estimate). */
  historySize(): { readonly steps: number; readonly bytes: number };
}

export function createSampleStore(initial: Sample, limits: HistoryLimits = defaultHistoryLimits): SampleStore {
  const history = new History(limits);
  let gestureStart: Sample | null = null;
  const start = produce(initial, () => {});
  const state = createStore<SampleState>(() => ({
    sample: applyChanges(start, []),
    revision: 0,
    gesture: null,
    undoName: null,
    redoName: null,
  }));

  function publish(sample: Sample, gesture: string | null): void {
    const old = state.getState();
    state.setState({
      sample,
      revision: sample === old.sample ? old.revision : old.revision + 1,
      gesture,
      undoName: history.undoName,
      redoName: history.redoName,
    });
  }

  /** False where nothing differs. */
  function record(name: string, before: Sample, after: Sample): boolean {
    const changes = difference(before, after);
    if (changes.length > 0) history.record(name, changes);
    return changes.length > 0;
  }

  function commit(): void {
    const { sample, gesture } = state.getState();
    if (gestureStart === null || gesture === null) return;
    record(gesture, gestureStart, sample);
    gestureStart = null;
    publish(sample, null);
  }

  function cancel(): void {
    if (gestureStart === null) return;
    const before = gestureStart;
    gestureStart = null;
    publish(before, null);
  }

  return {
    state,
    refusal: (command) => command.refusal(state.getState().sample),
    dispatch(command) {
      const { sample, gesture } = state.getState();
      const refusal = command.refusal(sample);
      if (refusal) return refusal;
      const name = command.name(sample);
      const after = produce(sample, (draft) => command.apply(draft));
      if (after === sample) return null;
      if (gestureStart === null && !record(name, sample, after)) return null;
      publish(after, gesture);
      return null;
    },
    begin(name) {
      commit();
      const { sample } = state.getState();
      gestureStart = sample;
      publish(sample, name);
    },
    commit,
    cancel,
    undo() {
      cancel();
      const step = history.takeUndo();
      if (!step) return false;
      publish(applyChanges(state.getState().sample, reverseChanges(step.changes)), null);
      return true;
    },
    redo() {
      cancel();
      const step = history.takeRedo();
      if (!step) return false;
      publish(applyChanges(state.getState().sample, step.changes), null);
      return true;
    },
    historySize: () => ({ steps: history.length, bytes: history.bytes }),
  };
}
