import { describe, expect, it } from 'vitest';
import { endsReached, shortWeftProblem } from '#document/commands/edgeOfPass.ts';
import { type Laying, layAcross, layOnlyHere, setTails, weaveNarrower } from '#document/commands/layingCommands.ts';
import { setPassYarn } from '#document/commands/passCommands.ts';
import { addYarn, setYarnLeft } from '#document/commands/yarnCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { buildExtras } from '#engine/packing/buildExtras.ts';
import { EXTRA_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { groupRowsIntoLines } from '#engine/packing/packLines.ts';
import { turnsAtEdge } from '#engine/yarn/turning.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { finish } from '#tests/helpers/finish.ts';
import { card } from '#tests/presets/presetFiles.ts';
import { smallSample } from './smallSample.ts';

const yarn = (id: string) => card('yarns', id, readYarnCard);
const stem = yarn('chenille-stem-6');
const laying: Laying = {
  picks: { from: 1, to: 4 },
  ends: { from: 9, to: 16 },
  strands: ['rope'],
  how: 'inlay',
  join: 'slit',
  leaves: 'turn',
  tailMm: 15,
  tails: 'fringe',
};

function woven(...commands: Parameters<ReturnType<typeof createSampleStore>['dispatch']>[0][]) {
  const store = createSampleStore(smallSample());
  for (const command of commands) expect(store.dispatch(command)?.message).toBeUndefined();
  return store.state.getState().sample;
}

const passes = (sample: ReturnType<typeof smallSample>, pick: number) =>
  sample.picks[pick - 1].passes.map(({ strands, fromEnd, toEnd, ends }) => [strands.join('+'), fromEnd, toEnd, ends]);

describe('which wefts turn at the edge', () => {
  // Weavers' accounts: stems and card are cut each pick; wire, film, rags and cord are taken round.
  it.each(['chenille-stem-6', 'card-strip-6', 'holo-card-strip-5'])('%s does not', (id) => {
    expect(turnsAtEdge(yarn(id).bendingNmm2)).toBe(false);
  });

  it.each(['cotton-8-2', 'jute-2ply', 'wire-copper-0.2', 'denim-strip-15', 'cotton-cord-5', 'metal-film-1-64'])(
    '%s does',
    (id) => {
      expect(turnsAtEdge(yarn(id).bendingNmm2)).toBe(true);
    },
  );

  it('a stem woven across is cut each pick, and a yarn in its place turns again', () => {
    const picks = { from: 1, to: 2 };
    const cut = woven(addYarn(stem), setPassYarn({ picks, strands: [stem.id] }));
    expect(cut.picks[0].passes[0]).toMatchObject({ ends: 'cut', tailMm: 20 });
    const again = woven(
      addYarn(stem),
      setPassYarn({ picks, strands: [stem.id] }),
      setPassYarn({ picks, strands: ['gull'] }),
    );
    expect(again.picks[0].passes[0]).toEqual({ strands: ['gull'], enters: 'left', ends: 'selvedge' });
  });
});

describe('tails', () => {
  it('are kept in the file, reach the cloth, and go when the weft turns again', () => {
    const tails = setTails({ picks: { from: 1, to: 2 }, tails: { tailMm: 25, kind: 'tucked' } });
    const cut = woven(tails);
    const read = readSampleText(writeSampleText(cut));
    expect(read.ok && read.value.picks[0].passes[0]).toMatchObject({ ends: 'cut', tailMm: 25, tails: 'tucked' });
    const { problem } = toClothProblem(cut);
    expect([problem.rowEnd[0], problem.rowTailMm[0], problem.rowTails![0]]).toEqual([RowEnd.cut, 25, RowTails.tucked]);
    expect(woven(tails, setTails({ picks: { from: 1, to: 2 }, tails: null })).picks[0]).toEqual(smallSample().picks[0]);
  });

  it('tucked or folded they come back within the cloth at both edges; as fringe they stand out', () => {
    const reach = (kind: 'fringe' | 'tucked' | 'folded') => {
      const cut = setTails({ picks: { from: 3, to: 3 }, tails: { tailMm: 12, kind } });
      const { problem } = toClothProblem(woven(cut));
      const { geometry } = finish(forecastCloth(problem, 'preview'));
      const { data } = buildExtras(problem, geometry, groupRowsIntoLines(problem, geometry));
      const found = { left: 0, right: 0, low: 0 };
      for (let at = 0; at < data.length; at += EXTRA_TEXELS * 4) {
        if (data[at + 11] !== 2 * 2) continue;
        found.left = Math.min(found.left, data[at] - geometry.endXMm[0], data[at + 8] - geometry.endXMm[0]);
        found.right = Math.max(found.right, data[at + 8] - geometry.endXMm[23]);
        found.low = Math.min(found.low, data[at + 10]);
      }
      return found;
    };
    const [fringe, tucked, folded] = (['fringe', 'tucked', 'folded'] as const).map(reach);
    expect([fringe.left, fringe.right].map(Math.abs).every((mm) => mm > 11)).toBe(true);
    for (const turned of [tucked, folded]) expect(Math.max(-turned.left, turned.right)).toBeLessThan(2);
    expect(folded.low).toBeLessThan(tucked.low - 0.2);
  });
});

describe('a weft shorter than the web', () => {
  it('is refused right across, with three ways out, and laid over part of it', () => {
    const store = createSampleStore(smallSample());
    store.dispatch(setYarnLeft({ yarn: 'rope', left: { metres: 0.02 } }));
    const refusal = store.dispatch(setPassYarn({ picks: { from: 1, to: 1 }, strands: ['rope'] }));
    expect(refusal?.message).toMatch(
      /is 2 cm long, and the web in the reed is 3 cm wide.*over part of the width.*join it.*weave narrower/i,
    );
    expect(store.dispatch(layOnlyHere(laying))).toBeNull();
    expect(store.dispatch(layAcross({ picks: laying.picks, strands: ['rope'] }))?.message).toMatch(/is 2 cm long/);
  });

  it('goes across where lengths are joined, and the web can be woven narrower', () => {
    const scrap = setYarnLeft({ yarn: 'rope', left: { metres: 0.02 } });
    const picks = { from: 1, to: 2 };
    expect(passes(woven(scrap, setPassYarn({ picks, strands: ['rope'], joined: true })), 1)).toEqual([
      ['rope', undefined, undefined, 'selvedge'],
    ]);
    // 20 mm of 30 at 24 ends.
    expect(endsReached(smallSample(), 20, 0)).toBe(16);
    const narrow = woven(weaveNarrower({ picks, ends: { from: 5, to: 20 } }));
    expect([passes(narrow, 1), passes(narrow, 2)]).toEqual([[['kelp', 5, 20, 'turn']], [['kelp', 5, 20, 'turn']]]);
    expect(passes(narrow, 3)).toEqual(passes(smallSample(), 3));
  });

  it('is not, where it is long enough or nothing is known of it', () => {
    expect(shortWeftProblem(smallSample(), ['rope'])).toBeNull();
    expect(shortWeftProblem(woven(setYarnLeft({ yarn: 'rope', left: { metres: 0.04 } })), ['rope'])).toBeNull();
  });
});

describe('wefts laid by hand', () => {
  it('inlay lies beside the ground pick and goes to and fro; laid again it moves', () => {
    const sample = woven(layOnlyHere(laying));
    expect(passes(sample, 1)).toEqual([
      ['kelp', undefined, undefined, 'selvedge'],
      ['rope', 9, 16, 'turn'],
    ]);
    expect(sample.picks.slice(0, 4).map(({ passes: [, part] }) => part.enters)).toEqual([
      'left',
      'right',
      'left',
      'right',
    ]);
    const moved = woven(layOnlyHere(laying), layOnlyHere({ ...laying, ends: { from: 3, to: 6 } }));
    expect(passes(moved, 1)).toHaveLength(2);
    expect(passes(moved, 1)[1]).toEqual(['rope', 3, 6, 'turn']);
  });

  it.each([
    ['slit', 8, 17, 'slit'],
    ['interlock', 8, 17, 'interlock'],
    ['dovetail', 9, 16, 'turn'],
  ] as const)('tapestry, %s: no weft runs right across', (join, leftTo, rightFrom, ends) => {
    const sample = woven(layOnlyHere({ ...laying, picks: { from: 1, to: 2 }, how: 'tapestry', join }));
    expect(passes(sample, 1)).toEqual([
      ['kelp', 1, leftTo, ends],
      ['rope', 9, 16, ends],
      ['kelp', rightFrom, 24, 'selvedge'],
    ]);
    // The next pick enters from the right and leaves at the left edge.
    expect(passes(sample, 2)[0]).toEqual(['kelp', 1, leftTo, 'selvedge']);
    expect(passes(sample, 2)[2][3]).toBe(ends);
  });

  it('an extra weft has a pick of its own after each; the shuttles keep their sides', () => {
    const sample = woven(layOnlyHere({ ...laying, how: 'ownShed', leaves: 'cut', tails: 'folded' }));
    expect(sample.picks).toHaveLength(16);
    expect(sample.picks[1]).toMatchObject({ lift: sample.picks[0].lift });
    expect(sample.picks[1].passes[0]).toMatchObject({ ends: 'cut', tailMm: 15, tails: 'folded' });
    expect([0, 2, 4, 6].map((k) => sample.picks[k].passes[0].enters)).toEqual(['left', 'right', 'left', 'right']);
  });

  it('an extra weft tied behind serves two motifs from one shed, whichever way it goes; across it is one again', () => {
    const behind = { ...laying, picks: { from: 1, to: 4 }, how: 'ownShed', leaves: 'tied' } as const;
    const left = layOnlyHere({ ...behind, ends: { from: 3, to: 6 } });
    const right = layOnlyHere({ ...behind, picks: { from: 1, to: 8 }, ends: { from: 17, to: 20 } });
    const sample = woven(left, right);
    expect(sample.picks).toHaveLength(16);
    expect(passes(sample, 2)).toEqual([
      ['rope', 3, 6, 'tied'],
      ['rope', 17, 20, 'tied'],
    ]);
    for (const pick of [1, 3, 5, 7]) {
      expect(new Set(sample.picks[pick].passes.map(({ enters }) => enters)).size, `pick ${pick + 1}`).toBe(1);
    }
    const read = readSampleText(writeSampleText(sample));
    expect(read.ok && read.value.picks).toEqual(sample.picks);
    expect(passes(woven(left, right, layAcross({ picks: { from: 2, to: 2 }, strands: ['rope'] })), 2)).toEqual([
      ['rope', undefined, undefined, 'selvedge'],
    ]);
    // Beside the ground pick too; cut or turned it moves instead.
    const inlaid = { ...laying, picks: { from: 1, to: 1 }, leaves: 'behind' } as const;
    const moved = { ...inlaid, ends: { from: 1, to: 4 } };
    expect(passes(woven(layOnlyHere(inlaid), layOnlyHere(moved)), 1)).toHaveLength(3);
    expect(passes(woven(layOnlyHere(inlaid), layOnlyHere({ ...moved, leaves: 'cut' })), 1)).toHaveLength(2);
  });

  it('across and only here take turns, as one weft', () => {
    const across = layAcross({ picks: laying.picks, strands: ['rope'] });
    const everywhere = woven(layOnlyHere(laying), across);
    expect(passes(everywhere, 1)[1]).toEqual(['rope', undefined, undefined, 'selvedge']);
    expect(woven(layOnlyHere(laying), across, layOnlyHere(laying)).picks).toEqual(woven(layOnlyHere(laying)).picks);
  });

  it('adds thickness where it lies', () => {
    const thickness = (sample: ReturnType<typeof smallSample>) =>
      finish(forecastCloth(toClothProblem(sample).problem, 'settled')).readings.thicknessMm.value;
    expect(thickness(woven(layOnlyHere({ ...laying, picks: { from: 2, to: 11 } })))).toBeGreaterThan(
      thickness(smallSample()),
    );
  });

  it.each([
    [{ ends: { from: 9, to: 30 } }, /ends 9–30 cannot be chosen/],
    [{ strands: ['mud'] }, /no yarn "mud"/],
    [{ tailMm: 900, leaves: 'cut' }, /tailMm/],
  ] as const)('%j is refused', (change, words) => {
    const refused = createSampleStore(smallSample()).dispatch(layOnlyHere({ ...laying, ...change } as Laying));
    expect(refused?.message).toMatch(words);
  });

  it('tapestry where no weft lies to give way is refused with what to do instead', () => {
    const store = createSampleStore(smallSample());
    store.dispatch(layOnlyHere({ ...laying, how: 'tapestry' }));
    const across = store.dispatch(layOnlyHere({ ...laying, ends: { from: 5, to: 12 }, how: 'tapestry' }));
    expect(across?.message).toMatch(/no weft over ends 5–12.*beside the ground pick/);
  });
});
