import { describe, expect, it } from 'vitest';
import { keepNoticesTrue, noticeMs } from '#app/model/notices.ts';
import { createTableStore } from '#app/model/tableState.ts';
import { setBeat } from '#document/commands/beatCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { smallSample } from '#tests/document/smallSample.ts';

function laid() {
  const samples = createSampleStore(smallSample());
  const ui = createTableStore();
  keepNoticesTrue(samples, ui);
  return { samples, ui, say: ui.getState().say, notice: () => ui.getState().notice };
}

describe('a message', () => {
  it('about the sample goes with its next change, and with nothing else', () => {
    const { samples, ui, say, notice } = laid();
    say('rope now weaves picks 3–5.');
    ui.getState().holdAt(2000);
    ui.getState().select({ kind: 'picks', range: { from: 0, to: 1 } });
    expect(notice()).toBe('rope now weaves picks 3–5.');
    samples.dispatch(setBeat({ firmness: 0.2 }));
    expect(notice()).toBe('');
  });

  it.each([
    ['distance', (ui: ReturnType<typeof createTableStore>) => ui.getState().holdAt(2000)],
    ['light', (ui: ReturnType<typeof createTableStore>) => ui.getState().prefer({ light: 'overcast' })],
    ['scale', (ui: ReturnType<typeof createTableStore>) => ui.getState().moveBy((pose) => ({ ...pose, mmPerPx: 0.1 }))],
    [
      'selection',
      (ui: ReturnType<typeof createTableStore>) => ui.getState().select({ kind: 'ends', range: { from: 0, to: 1 } }),
    ],
  ] as const)('about the %s goes when that changes, but not as it is said with the change', (subject, change) => {
    const { samples, ui, say, notice } = laid();
    say('Before.', { goesWith: [subject] });
    samples.dispatch(setBeat({ firmness: 0.2 }));
    expect(notice()).toBe('Before.');
    change(ui);
    expect(notice()).toBe('');
    say('After.', { goesWith: [subject] });
    ui.getState().showKeys(true);
    expect(notice()).toBe('After.');
  });

  it('stands long enough to be read aloud slowly: 200 words a minute and five seconds more (common practice)', () => {
    const words = 'The breakwater is long, and the tide is out. ';
    expect(noticeMs(words)).toBeGreaterThan(5000 + (9 / 200) * 60_000 - 100);
    expect(noticeMs(words)).toBeLessThan(15_000);
  });
});
