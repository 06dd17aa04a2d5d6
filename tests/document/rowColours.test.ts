import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { setYarnColour } from '#document/commands/yarnCommands.ts';
import { rowColours } from '#document/rowColours.ts';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { rowLengthMm } from '#engine/cloth/rowLength.ts';
import { hexFromLinear } from '#engine/colour/colour.ts';
import { meanOfRepeat } from '#engine/yarn/colourRepeat.ts';
import { readYarnCard } from '#io/cardFiles.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { smallSampleFile } from './smallSample.ts';

const stops = [
  { atMm: 0, colour: '#3d6b7a' },
  { atMm: 40, colour: '#e6e0d0' },
];
const colourRepeat = { lengthMm: 80, startMm: 0, stops };

function variegated(repeat: unknown = colourRepeat) {
  const file = smallSampleFile();
  Object.assign(file.yarns.kelp, { colourRepeat: repeat });
  return sampleFromFile(file);
}

function sample() {
  const read = variegated();
  if (!read.ok) throw new Error(read.problems[0].message);
  return read.value;
}

describe('a yarn that changes colour along its length', () => {
  const { problem } = toClothProblem(sample());
  const repeatOf = (id: string) => (id === 'kelp' ? colourRepeat : undefined);

  test('goes on from row to row where it left off, and turns back with the shuttle', () => {
    const takeUp = 0.1;
    const rows = rowColours(problem, repeatOf, takeUp);
    // 24 ends at 8 per cm are 30 mm of cloth; a tenth is taken up.
    const pickMm = rowLengthMm(problem, 0, takeUp);
    expect(pickMm).toBeCloseTo(30 / 0.9, 9);
    // The first pick from the left: 33.3 mm of the first colour.
    expect(rows[0]).toEqual([{ from: 0, to: 1, colour: '#3d6b7a' }]);
    // The second from the right: 6.7 mm more of it at the right edge, then the other.
    const [left, right] = rows[1]!;
    expect([left.colour, right.colour]).toEqual(['#e6e0d0', '#3d6b7a']);
    expect((1 - right.from) * pickMm).toBeCloseTo(40 - pickMm, 9);
    for (let row = 0; row < problem.rows; row++) {
      const alone = problem.yarns[problem.rowYarn[row]].strands.join() === 'kelp';
      expect(rows[row] !== undefined).toBe(alone);
    }
  });

  test('pools where two picks take one repeat: every other row alike', () => {
    const rows = rowColours(
      problem,
      (id) => repeatOf(id) && { ...colourRepeat, lengthMm: 60, stops: [stops[0], { ...stops[1], atMm: 25 }] },
      0,
    );
    const kelp = rows.filter((runs) => runs !== undefined);
    expect(kelp.length).toBeGreaterThan(4);
    for (let row = 2; row < kelp.length; row++) {
      expect(kelp[row].map(({ colour }) => colour)).toEqual(kelp[row - 2].map(({ colour }) => colour));
      for (const [k, { from }] of kelp[row].entries()) expect(from).toBeCloseTo(kelp[row - 2][k].from, 9);
    }
  });

  test('is kept in the file, and dyed one colour loses it until that is undone', () => {
    const read = readSampleText(writeSampleText(sample()));
    expect(read.ok && read.value.yarns.kelp.colourRepeat).toEqual(colourRepeat);
    const store = createSampleStore(sample());
    expect(store.dispatch(setYarnColour({ yarn: 'kelp', coneColour: '#a4553a' }))).toBeNull();
    expect(store.state.getState().sample.yarns.kelp.colourRepeat).toBeUndefined();
    store.undo();
    expect(store.state.getState().sample.yarns.kelp.colourRepeat).toEqual(colourRepeat);
  });

  test.each([
    [
      { ...colourRepeat, stops: [stops[0]] },
      /yarn "kelp", colourRepeat, stops.*fewer than two colours.*give two or more/i,
    ],
    [
      { ...colourRepeat, stops: [stops[1], stops[0]] },
      /colourRepeat: has stops out of order.*in order along the yarn/i,
    ],
    [{ ...colourRepeat, stops: [stops[0], { ...stops[0] }] }, /out of order/i],
    [{ ...colourRepeat, lengthMm: 40 }, /has a stop beyond its length.*lengthen the repeat/i],
    [{ ...colourRepeat, stops: [stops[0], { atMm: 40, colour: 'sail' }] }, /is not a colour/i],
    [{ ...colourRepeat, lengthMm: 0 }, /lengthMm.*between 1 and/i],
  ])('is refused where %j cannot be', (repeat, words) => {
    const read = variegated(repeat);
    expect(read.ok ? '' : read.problems[0].message).toMatch(words);
  });

  // Repeat lengths of 0.6–2.5 m: common practice, as the facts tell it.
  test('the shelf’s has a repeat of the usual length, and its cone is of their mean', () => {
    const text = readFileSync(new URL('../../presets/yarns/variegated-acrylic-dk.json', import.meta.url), 'utf8');
    const card = readYarnCard(JSON.parse(text));
    if (!card.ok) throw new Error(card.problems[0].message);
    const { coneColour, colourRepeat: shelf } = card.value;
    expect(shelf!.lengthMm).toBeGreaterThanOrEqual(600);
    expect(shelf!.lengthMm).toBeLessThanOrEqual(2500);
    expect(coneColour).toBe(hexFromLinear(meanOfRepeat(shelf!)));
  });
});
