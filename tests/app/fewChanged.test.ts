import { describe, expect, it } from 'vitest';
import { fewChanged } from '#app/model/fewChanged.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { sampleWithFault, type WhatIf } from '#document/whatIf.ts';
import { sample } from '#tests/presets/presetFiles.ts';

const gamp = { ...sample('signal-gamp'), versions: [] };

function faulty(fault: WhatIf): SampleBody {
  const body = sampleWithFault(gamp, fault);
  if ('message' in body) throw new Error(body.message);
  return body;
}

describe('what a fault changes of the whole', () => {
  it('is one crossing where an end is skipped in one lift', () => {
    const pick = gamp.picks.findIndex(({ lift }) => lift.length > 0) + 1;
    const changes = Array.from({ length: 8 }, (_, k) =>
      fewChanged(gamp, faulty({ kind: 'skippedEnd', pick, end: k + 1 })),
    );
    for (const change of changes)
      expect(change).toMatchObject({ kind: 'crossings', of: gamp.picks.length * gamp.warp.ends });
    // An end that is down at that pick anyway cannot be skipped there; of eight neighbours some are up.
    expect(changes.map((change) => change?.kind === 'crossings' && change.changed)).toContain(1);
  });

  it('is one pick where one is left out or woven twice', () => {
    expect(fewChanged(gamp, faulty({ kind: 'pickLeftOut', pick: 20 }))).toEqual({ kind: 'picks', more: -1 });
    expect(fewChanged(gamp, faulty({ kind: 'pickDoubled', pick: 20 }))).toEqual({ kind: 'picks', more: 1 });
  });

  it('is not called little where the beat, a yarn or the structure is another', () => {
    const [id] = Object.keys(gamp.yarns);
    const thick = { ...gamp.yarns[id], tex: 2 * gamp.yarns[id].tex };
    expect(fewChanged(gamp, { ...gamp, beat: { ...gamp.beat, firmness: gamp.beat.firmness / 2 } })).toBeUndefined();
    expect(fewChanged(gamp, { ...gamp, yarns: { ...gamp.yarns, [id]: thick } })).toBeUndefined();
    const lifts = gamp.picks.map((pick, k) => (k % 2 === 0 ? pick : { ...pick, lift: gamp.picks[k - 1].lift }));
    expect(fewChanged(gamp, { ...gamp, picks: lifts })).toBeUndefined();
  });
});
