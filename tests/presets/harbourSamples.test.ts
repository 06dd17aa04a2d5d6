import { describe, expect, test } from 'vitest';
import { toClothProblem } from '#document/toClothProblem.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { finish } from '#tests/helpers/finish.ts';
import { sample } from './presetFiles.ts';

describe('the harbour samples do what they say', () => {
  test('signal gamp: six colours both ways, 96 ends, plain and then 2/2 twill', () => {
    const { problem, materials } = toClothProblem(sample('signal-gamp'));
    const colours = (threads: Uint16Array) => Array.from(threads, (yarn) => materials[yarn].strands[0].id);
    expect(problem.ends).toBe(96);
    expect(new Set(colours(problem.endYarn)).size).toBe(6);
    expect(colours(problem.rowYarn).slice(0, 96)).toEqual(colours(problem.endYarn));
    expect(colours(problem.rowYarn).slice(96)).toEqual(colours(problem.endYarn));
    for (let row = 0; row < 192; row++) {
      for (let end = 0; end < 96; end++) {
        const plain = row % 2 === end % 2;
        const twill = (end - row + 192) % 4 < 2;
        expect(isWarpUp(problem.drawdown, row, end)).toBe(row < 96 ? plain : twill);
      }
    }
  });

  test('channel buoy: the back is the exact colour negative of the face, crossing by crossing', () => {
    const { problem, materials } = toClothProblem(sample('channel-buoy'));
    const id = (yarn: number) => materials[yarn].strands[0].id;
    let different = 0;
    for (let row = 0; row < problem.rows; row++) {
      for (let end = 0; end < problem.ends; end++) {
        const warp = id(problem.endYarn[end]);
        const weft = id(problem.rowYarn[row]);
        if (warp === weft) continue; // The same colour on both sides: the crossing lies within one layer.
        different++;
        // Layers of unlike colour never interlace: whichever lies above on the face lies below on the back.
        const up = isWarpUp(problem.drawdown, row, end);
        const blockDark = darkOnFace(problem, id, row, end);
        expect(up ? warp : weft).toBe(blockDark ? 'dark' : 'pale');
        expect(up ? weft : warp).toBe(blockDark ? 'pale' : 'dark');
      }
    }
    expect(different).toBe((problem.rows * problem.ends) / 2);
  });

  // The plan is square in units of one column; a rep ring is tall where a unit of two wefts is higher than a column is
  // wide. Bounds: the eye takes up to a tenth for round (common practice); the plain ring must be well beyond it.
  test('mooring ring: too tall as drawn, round in the two versions that mend it', () => {
    const ring = sample('mooring-ring');
    expect(heightOverWidth(ring)).toBeGreaterThan(1.25);
    const [tall, ...round] = ring.versions;
    expect(tall.name).toBe('too tall');
    expect(heightOverWidth(tall.body)).toBe(heightOverWidth(ring));
    for (const { name, body } of round) {
      expect(name).toMatch(/^round/);
      expect(Math.abs(heightOverWidth(body) - 1)).toBeLessThan(0.1);
    }
  });

  // Sateen of eight: one end in eight rises, each pick's three ends (mod 8) from the last's; A. Wolfensberger, Theory of
  // Silk Weaving (1921) p. 33.
  test('boat paint: 8-end sateen in one colour, weft up on the face; reversed, the satin', () => {
    const read = sample('boat-paint');
    const { problem } = toClothProblem(read);
    const colours = new Set(Object.values(read.yarns).map(({ coneColour }) => coneColour));
    expect(colours.size).toBe(1);
    const risen = (row: number) =>
      Array.from({ length: problem.ends }, (_, end) => end).filter((end) => isWarpUp(problem.drawdown, row, end));
    for (let row = 0; row < problem.rows; row++) {
      expect(risen(row)).toHaveLength(problem.ends / 8);
      if (row > 0) expect((risen(row)[0] - risen(row - 1)[0] + 8) % 8).toBe(3);
    }
    const satin = toClothProblem(read.versions.find(({ name }) => name === 'satin face up')!.body).problem;
    for (let row = 0; row < problem.rows; row++) {
      for (let end = 0; end < problem.ends; end++) {
        expect(isWarpUp(satin.drawdown, row, end)).toBe(!isWarpUp(problem.drawdown, row, end));
      }
    }
  });

  // A tenth more or less passes for the same size (common practice); a disappointment must be well beyond it.
  test('channel buoy beaten hard is too squat, signal gamp beaten loosely too open', () => {
    const overPlan = (id: string, version: string) => {
      const read = sample(id);
      const { body } = read.versions.find(({ name }) => name === version)!;
      return lengthMm(body) / lengthMm(read);
    };
    expect(overPlan('channel-buoy', 'too squat')).toBeLessThan(0.8);
    expect(overPlan('signal-gamp', 'too open')).toBeGreaterThan(1.4);
  });

  // Taqueté, weft-faced on tie-downs: each weft covers three ends of four in its own blocks and one in the other's (common
  // practice).
  test('kelp: one lift plan, exchanged on the back; pile and halo reach over the pick beside them, smooth yarn does not', () => {
    const read = sample('kelp');
    const { problem, materials } = toClothProblem(read);
    const blocks = problem.ends / 4;
    const over = (row: number, block: number) =>
      [0, 1, 2, 3].filter((k) => !isWarpUp(problem.drawdown, row, 4 * block + k)).length;
    let figure = 0;
    for (let row = 0; row < problem.rows; row += 2) {
      for (let block = 0; block < blocks; block++) {
        expect([1, 3]).toContain(over(row, block));
        expect(over(row, block) + over(row + 1, block)).toBe(4);
        if (over(row, block) === 3) figure++;
      }
    }
    const share = figure / ((problem.rows / 2) * blocks);
    expect(share).toBeGreaterThan(0.2);
    expect(share).toBeLessThan(0.5);
    // What stands off a kelp weft beyond the middle of the dark pick beside it hides that one.
    const { rowYMm } = rowPositions(problem, false);
    const pitchMm = (rowYMm[problem.rows - 1] - rowYMm[0]) / (problem.rows - 1);
    const standsOff = (id: string) => read.yarns[id].hairLengthMm![0];
    expect(standsOff('chenille')).toBeGreaterThan(pitchMm);
    expect(standsOff('mohair')).toBeGreaterThan(4 * pitchMm);
    for (const id of ['smooth', 'deep']) expect(standsOff(id)).toBeLessThan(pitchMm / 2);
    const wefts = (body: Parameters<typeof toClothProblem>[0]) => {
      const { problem: woven, materials: yarns } = toClothProblem(body);
      return new Set(Array.from(woven.rowYarn, (yarn) => yarns[yarn].strands[0].id));
    };
    expect(wefts(read)).toEqual(new Set(['chenille', 'smooth', 'mohair', 'deep']));
    const fuzzy = read.versions.find(({ name }) => name === 'too fuzzy')!.body;
    expect(wefts(fuzzy)).toEqual(new Set(['chenille', 'deep']));
    expect(materials.length).toBeGreaterThan(3);
  });

  // Sateen of eight leaves a weft on the face over seven ends of eight, plain weave over one of two (closed form). Film and
  // card, which hardly bend, are not beaten together in plain weave: what is left of them to see falls further.
  test('sailcloth: strips lie over seven ends in eight; in plain weave less than half of the weft is left to see', () => {
    const read = sample('sailcloth');
    const { problem, materials } = toClothProblem(read);
    const panel = Array.from({ length: problem.ends }, (_, end) => end).filter((end) => end % 48 < 40);
    for (let row = 0; row < problem.rows; row++) {
      expect(panel.filter((end) => isWarpUp(problem.drawdown, row, end))).toHaveLength(panel.length / 8);
    }
    const wefts = new Set(Array.from(problem.rowYarn, (yarn) => materials[yarn].strands[0].lustre));
    expect(wefts).toEqual(new Set(['satin', 'film', 'hologram']));
    const hidden = read.versions.find(({ name }) => name === 'too hidden')!.body;
    const seen = (body: typeof read | typeof hidden) =>
      finish(forecastCloth(toClothProblem(body).problem, 'preview')).readings.face.weft;
    expect(seen(hidden)).toBeLessThan(seen(read) / 2);
  });

  // As for the ring: round to the eye within a tenth of the plan's repeat (common practice), and well beyond it.
  test('tarred rope: knots about as high as wide, and more than twice as high as first drawn', () => {
    const read = sample('tarred-rope');
    expect(read.warp.reed.dentsPerCm * 2.54).toBeCloseTo(12, 2);
    const planned = knotHeightOverWidth(read);
    expect(Math.abs(planned - 1)).toBeLessThan(0.1);
    const tall = knotHeightOverWidth(read.versions.find(({ name }) => name === 'too tall')!.body);
    expect(tall).toBeGreaterThan(2);
    const stems = read.picks.flatMap(({ passes }) => passes).filter(({ strands }) => strands[0] === 'stem');
    expect(stems).toHaveLength(3);
    for (const { fromEnd, toEnd, ends, tails, tailMm } of stems) {
      expect(ends).toBe('cut');
      // Sharp ends are folded back by 5 to 10 mm, as the yarn's card warns.
      expect(tails).toBe('folded');
      expect(tailMm).toBeGreaterThanOrEqual(5);
      expect(tailMm).toBeLessThanOrEqual(10);
      // Stems are sold 300 mm long (common practice).
      expect(((toEnd! - fromEnd!) / read.warp.reed.dentsPerCm) * 10).toBeLessThan(300);
    }
  });

  test('fish net: all four wefts; net alone lies a quarter lower than net on strips', () => {
    const read = sample('fish-net');
    const { problem, materials } = toClothProblem(read);
    const wefts = new Set(Array.from(problem.rowYarn, (yarn) => materials[yarn].strands.map(({ id }) => id).join('+')));
    expect(wefts).toEqual(new Set(['cotton', 'satin', 'net+cotton', 'foil']));
    const thin = read.versions.find(({ name }) => name === 'too thin')!.body;
    const thicknessMm = (body: typeof read | typeof thin) =>
      finish(forecastCloth(toClothProblem(body).problem, 'preview')).readings.thicknessMm.value;
    expect(thicknessMm(thin)).toBeLessThan(0.75 * thicknessMm(read));
  });
});

/** Which layer is on the face around a crossing of the buoy: read from the four ends and four picks of its unit. */
function darkOnFace(
  problem: ReturnType<typeof toClothProblem>['problem'],
  id: (yarn: number) => string,
  row: number,
  end: number,
): boolean {
  const unitRow = row - (row % 4);
  const unitEnd = end - (end % 4);
  let darkWarpOverPaleWeft = 0;
  for (let r = unitRow; r < unitRow + 4; r++) {
    for (let e = unitEnd; e < unitEnd + 4; e++) {
      if (id(problem.endYarn[e]) !== 'dark' || id(problem.rowYarn[r]) !== 'pale') continue;
      if (isWarpUp(problem.drawdown, r, e)) darkWarpOverPaleWeft++;
    }
  }
  expect([0, 4]).toContain(darkWarpOverPaleWeft);
  return darkWarpOverPaleWeft === 4;
}

/** Height over width, mm, of the first knot: from where its treadling begins to where that comes again. */
function knotHeightOverWidth(body: Parameters<typeof toClothProblem>[0]): number {
  const { problem } = toClothProblem(body);
  const { rowYMm } = rowPositions(problem, false);
  const starts = body.picks.flatMap(({ lift }, row) =>
    lift[0] === 3 && body.picks[row - 1].lift[0] !== 3 ? [row] : [],
  );
  // The point draw comes again after fourteen ends.
  return (rowYMm[starts[1]] - rowYMm[starts[0]]) / (problem.endXMm[14] - problem.endXMm[0]);
}

/** From the first pick to the last, mm. */
function lengthMm(body: Parameters<typeof toClothProblem>[0]): number {
  const { rowYMm } = rowPositions(toClothProblem(body).problem, false);
  return rowYMm[rowYMm.length - 1] - rowYMm[0];
}

/** Height over width, mm, of the dark figure: where dark ends rise over the first weft of a pair. */
function heightOverWidth(body: Parameters<typeof toClothProblem>[0]): number {
  const { problem, materials } = toClothProblem(body);
  const { rowYMm } = rowPositions(problem, false);
  const inFigure = (row: number, end: number) =>
    materials[problem.endYarn[end]].strands[0].id === 'tar' && isWarpUp(problem.drawdown, row, end);
  const ends = Array.from({ length: problem.ends }, (_, end) => end);
  const rows = Array.from({ length: problem.rows / 2 }, (_, unit) => 2 * unit);
  const figureRows = rows.filter((row) => ends.some((end) => inFigure(row, end)));
  const figureEnds = ends.filter((end) => rows.some((row) => inFigure(row, end)));
  const [bottom, top] = [figureRows[0], figureRows.at(-1)!];
  const [left, right] = [figureEnds[0], figureEnds.at(-1)!];
  const pitchMm = problem.endXMm[1] - problem.endXMm[0];
  // From the first weft of the figure to the first weft above it; two ends a pair across.
  return (rowYMm[top + 2] - rowYMm[bottom]) / (problem.endXMm[right] - problem.endXMm[left] + 2 * pitchMm);
}
