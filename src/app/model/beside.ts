import { bodyOf } from '#document/commands/versionCommands.ts';
import { alike } from '#document/sameSample.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { SampleStore } from '#document/store/sampleStore.ts';
import { weavesAlike } from './forecast.ts';
import { MOST_BESIDE } from './panes.ts';
import type { TableStore } from './tableState.ts';

/** Draws the sample and the versions kept beside it, or the sample alone again; says why where there is nothing to draw. */
export function showKept(ui: TableStore, sample: Sample): void {
  if (ui.getState().shown === 'kept') {
    ui.getState().show('one');
    return;
  }
  const now = bodyOf(sample);
  const others = sample.versions
    .filter(({ body }) => !weavesAlike(sample, body) && !alike(now, body))
    .map(({ name }) => name);
  if (others.length === 0) {
    ui.getState().say('No other version is kept. "Keep this" (K) keeps one; change the sample, then compare.');
    return;
  }
  // Those chosen before come first, then the ones kept last.
  const { beside } = ui.getState();
  const again = beside.filter((name) => others.includes(name));
  const rest = others.filter((name) => !again.includes(name)).reverse();
  ui.getState().showBeside([...again, ...rest].slice(0, MOST_BESIDE - 1));
  ui.getState().show('kept');
}

/** Draws version `name` in place of another; the two change places where it is drawn already. */
export function putBeside(ui: TableStore, place: number, name: string): void {
  const { beside } = ui.getState();
  const replaced = beside[place];
  ui.getState().showBeside(beside.map((each, k) => (k === place ? name : each === name ? replaced : each)));
}

/** Versions that are discarded or renamed are not drawn any longer; without any, the sample is alone again. */
export function keepBesideTidy(samples: SampleStore, ui: TableStore): void {
  samples.state.subscribe(({ sample }, before) => {
    if (sample.versions === before.sample.versions) return;
    const { beside, shown } = ui.getState();
    const left = beside.flatMap((name) => {
      if (sample.versions.some((version) => version.name === name)) return [name];
      const at = before.sample.versions.findIndex((version) => version.name === name);
      const renamed = sample.versions[at];
      return renamed && renamed.body === before.sample.versions[at]?.body ? [renamed.name] : [];
    });
    if (left.length === beside.length && left.every((name, k) => name === beside[k])) return;
    ui.getState().showBeside(left);
    if (shown === 'kept' && left.length === 0) ui.getState().show('one');
  });
}
