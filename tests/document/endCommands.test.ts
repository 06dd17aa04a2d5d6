import { describe, expect, it } from 'vitest';
import type { Command } from '#document/commands/command.ts';
import { repeatEnds, takeOutEnds } from '#document/commands/endCommands.ts';
import { parseEndOrder } from '#document/notation/endOrder.ts';
import { beamOfEnds } from '#document/notation/secondBeam.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { readWarp, toClothProblem } from '#document/toClothProblem.ts';
import { rowsFromDrawdown } from '#engine/draft/transformDrawdown.ts';
import { smallSample } from './smallSample.ts';

const loose = (more: Partial<Sample> = {}): Sample => {
  const { fixed: _fixed, ...warp } = smallSample().warp;
  return { ...smallSample(), versions: [], warp, ...more };
};

function done(command: Command, sample: Sample): Sample {
  const store = createSampleStore(sample);
  const refusal = store.dispatch(command);
  if (refusal) throw new Error(refusal.message);
  return store.state.getState().sample;
}

const refused = (command: Command, sample: Sample) => createSampleStore(sample).dispatch(command)?.message ?? 'done';
const rows = (sample: Sample) => rowsFromDrawdown(toClothProblem(sample).problem.drawdown);
const yarnsOf = ({ warp }: Sample) => {
  const order = parseEndOrder(warp.order);
  if (!order.ok) throw new Error('no order');
  return Array.from(order.value.index, (at) => order.value.palette[at].join('+'));
};

describe('ends taken out and laid in again', () => {
  it('leave every other end with its yarn, shaft and crossings', () => {
    const sample = loose();
    const fewer = done(takeOutEnds({ from: 7, to: 9 }), sample);
    expect(fewer.warp.ends).toBe(21);
    const without = <Value>(list: readonly Value[]) => list.filter((_, end) => end < 6 || end > 8);
    expect(Array.from(readWarp(fewer.warp).threading)).toEqual(without(Array.from(readWarp(sample.warp).threading)));
    expect(yarnsOf(fewer)).toEqual(without(yarnsOf(sample)));
    expect(rows(fewer)).toEqual(rows(sample).map(without));
    const more = done(repeatEnds({ ends: { from: 1, to: 2 }, times: 2 }), sample);
    expect(yarnsOf(more).slice(0, 7)).toEqual([
      ...yarnsOf(sample).slice(0, 2),
      ...yarnsOf(sample).slice(0, 2),
      ...yarnsOf(sample).slice(0, 3),
    ]);
    expect(rows(more).map((row) => row.slice(6))).toEqual(rows(sample).map((row) => row.slice(2)));
  });

  it('take hand-laid wefts and faults with them', () => {
    const fault = { kind: 'skippedEnd', pick: 3, end: 20 } as const;
    const sample = loose({ faults: [fault, { ...fault, end: 2 }] });
    const inlay = sample.picks[4].passes[1];
    const fewer = done(takeOutEnds({ from: 1, to: 3 }), sample);
    expect(fewer.faults).toEqual([{ ...fault, end: 17 }]);
    expect(fewer.picks[4].passes[1]).toEqual({ ...inlay, fromEnd: inlay.fromEnd! - 3, toEnd: inlay.toEnd! - 3 });
  });

  it('take bends, cuts and clippings with them, and leave a bend whose end is gone at the seam', () => {
    const bend = { kind: 'bend', pick: 5, end: 12.5, angleDegrees: 60, radiusMm: 8, side: 'face' } as const;
    const clip = { kind: 'clip', side: 'face', threads: 'weft', atLeast: 3, part: { fromEnd: 10, toEnd: 14 } } as const;
    const line = (from: number, to: number) => [
      { end: from, pick: 0 },
      { end: to, pick: 13 },
    ];
    const cut = { kind: 'cut', line: line(8, 25), what: 'through', keep: 'left' } as const;
    const brush = { kind: 'brush', side: 'face', strength: 'raised' } as const;
    const sample = loose({ afterLoom: [bend, { ...cut, line: line(8, 25) }, clip, brush] });
    expect(done(takeOutEnds({ from: 1, to: 3 }), sample).afterLoom).toEqual([
      { ...bend, end: 9.5 },
      { ...cut, line: line(5, 22) },
      { ...clip, part: { fromEnd: 7, toEnd: 11 } },
      brush,
    ]);
    expect(done(repeatEnds({ ends: { from: 1, to: 2 }, times: 2 }), sample).afterLoom?.[0]).toEqual({
      ...bend,
      end: 16.5,
    });
    expect(done(takeOutEnds({ from: 13, to: 14 }), sample).afterLoom?.slice(0, 3)).toEqual([
      { ...bend, end: 12.5 },
      { ...cut, line: line(8, 23) },
      { ...clip, part: { fromEnd: 10, toEnd: 12 } },
    ]);
  });

  it('are refused on the loom, to the last end, and where a weft would lose all of its ends', () => {
    expect(refused(takeOutEnds({ from: 1, to: 1 }), loose({ warp: { ...loose().warp, fixed: true } }))).toMatch(
      /is on the loom/,
    );
    expect(refused(takeOutEnds({ from: 1, to: 24 }), loose())).toMatch(/would have 0 ends|over these ends alone/);
    const { fromEnd = 1, toEnd = 24 } = loose().picks[4].passes[1];
    expect(refused(takeOutEnds({ from: fromEnd, to: toEnd }), loose())).toMatch(
      /^Pick 5: has a weft laid over these ends alone/,
    );
  });

  it('keep every other end on its beam', () => {
    const beam = { ends: '0 x2, 1', slackPercent: 2 };
    const sample = loose({ warp: { ...loose().warp, secondBeam: beam } });
    const beams = beamOfEnds(beam, 24);
    const fewer = done(takeOutEnds({ from: 2, to: 5 }), sample);
    expect(beamOfEnds(fewer.warp.secondBeam!, 20)).toEqual([...beams.slice(0, 1), ...beams.slice(5)]);
    const more = done(repeatEnds({ ends: { from: 3, to: 4 } }), sample);
    expect(beamOfEnds(more.warp.secondBeam!, 26)).toEqual([
      ...beams.slice(0, 4),
      ...beams.slice(2, 4),
      ...beams.slice(4),
    ]);
    const lone = { ...loose().warp, secondBeam: { ends: '0 x23, 1', slackPercent: 2 } };
    expect(refused(takeOutEnds({ from: 24, to: 24 }), loose({ warp: lone }))).toMatch(
      /leaves one of the two beams empty/,
    );
  });
});
