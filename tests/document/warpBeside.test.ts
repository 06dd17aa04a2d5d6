import { describe, expect, it } from 'vitest';
import { weaveLifts } from '#document/commands/checkCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { readLoomCard, readWarpCard } from '#io/cardFiles.ts';
import { card, sample } from '#tests/presets/presetFiles.ts';

const on = { loom: card('looms', 'q16', readLoomCard), warp: card('warps', 'foam', readWarpCard) };
const foam = on.warp.yarns!.foam;

/** A sample whose own yarn "foam" weaves its first pick, taken to the loom where a warp of "foam" stands. */
function woven(own: typeof foam) {
  const body = sample('fog-bank');
  const picks = body.picks.map((pick, k) =>
    k === 0 ? { ...pick, passes: [{ ...pick.passes[0], strands: ['foam'] }] } : pick,
  );
  const store = createSampleStore({ ...body, yarns: { ...body.yarns, foam: own }, picks });
  const refusal = store.dispatch(
    weaveLifts(
      picks.map(({ lift }) => lift),
      on,
    ),
  );
  expect(refusal).toBeNull();
  return { store, now: store.state.getState().sample };
}

describe('a sample taken to another warp', () => {
  it('keeps its weft and gives the ends theirs where both go by one name', () => {
    const { now } = woven({ ...foam, tex: foam.tex / 3 });
    const { problem } = toClothProblem(now);
    expect(problem.yarns[problem.endYarn[0]].tex).toBe(foam.tex);
    expect(problem.yarns[problem.rowYarn[0]].tex).toBe(foam.tex / 3);
    expect(now.warp.order).toBe(`${now.warp.ends} foam-2`);
  });

  it('shares the yarn where it is the same, whatever is left of it, and undo brings the last warp back', () => {
    const { store, now } = woven({ ...foam, left: { grams: 40 } });
    expect(now.warp.order).toBe(on.warp.order);
    expect(now.yarns.foam.left).toEqual({ grams: 40 });
    expect(Object.keys(now.yarns)).not.toContain('foam-2');
    store.undo();
    expect(store.state.getState().sample.warp).toEqual(sample('fog-bank').warp);
  });
});
