import { describe, expect, it } from 'vitest';
import { setSecondBeam } from '#document/commands/warpCommands.ts';
import { parseSecondBeam, slackOfEnds } from '#document/notation/secondBeam.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { readSampleJson } from '#io/sampleFile.ts';
import { smallSampleFile } from './smallSample.ts';

function withBeam(secondBeam: unknown) {
  const file = smallSampleFile();
  file.versions = [];
  Object.assign(file.warp, { secondBeam });
  return readSampleJson(file);
}

describe('ends on a second beam', () => {
  it('are told in turn, begun again until the ends run out', () => {
    expect(parseSecondBeam('0 x2, 1')).toEqual({ ok: true, value: [0, 0, 1] });
    const slack = slackOfEnds({ ends: 7, secondBeam: { ends: '0 x2, 1', slackPercent: 12 } });
    expect(slack).toEqual(Float64Array.of(0, 0, 0.12, 0, 0, 0.12, 0));
    expect(slackOfEnds({ ends: 7 })).toBeUndefined();
  });

  it.each([
    [{ ends: '0 2', slackPercent: 10 }, /secondBeam, ends: cannot be read at character 3.*1 for an end on the second/i],
    [{ ends: '1 1', slackPercent: 10 }, /leaves one of the two beams empty.*0 1 or 0 x20, 1 x12/],
    [{ ends: '', slackPercent: 10 }, /names no end/],
    [{ ends: '0 1', slackPercent: 0 }, /slackPercent/],
  ])('%j is refused where it is wrong', (beam, words) => {
    const read = withBeam(beam);
    expect(read.ok ? '' : read.problems[0].message).toMatch(words);
  });

  it('reach the cloth longer and with less tension than the others', () => {
    const read = withBeam({ ends: '0 1', slackPercent: 8 });
    if (!read.ok) throw new Error(read.problems[0].message);
    const { endSlackShare, endTensionN } = toClothProblem(read.value).problem;
    expect(endSlackShare?.slice(0, 2)).toEqual(Float64Array.of(0, 0.08));
    expect(endTensionN[1]).toBeLessThan(endTensionN[0] / 2);
  });

  it('come and go in one step each, and not while the warp stands', () => {
    const read = withBeam(undefined);
    if (!read.ok) throw new Error(read.problems[0].message);
    const store = createSampleStore({ ...read.value, warp: { ...read.value.warp, fixed: false } });
    const beam = { ends: '0 1', slackPercent: 8 };
    expect(store.dispatch(setSecondBeam(beam))).toBeNull();
    expect(store.state.getState().sample.warp.secondBeam).toEqual(beam);
    expect(store.dispatch(setSecondBeam({ ...beam, ends: '1' }))?.message).toMatch(/leaves one/);
    expect(store.dispatch(setSecondBeam(null))).toBeNull();
    expect(store.state.getState().sample.warp.secondBeam).toBeUndefined();
    const fixed = createSampleStore({ ...read.value, warp: { ...read.value.warp, fixed: true } });
    expect(fixed.dispatch(setSecondBeam(beam))?.message).toMatch(/on the loom/);
  });
});
