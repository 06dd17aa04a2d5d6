import { describe, expect, it } from 'vitest';
import { behindWords, joinWords } from '#app/words/standingWords.ts';
import { type Laying, layOnlyHere } from '#document/commands/layingCommands.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { type ClothProblem, RowEnd } from '#engine/cloth/clothTypes.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { backFloats, TIED_EVERY_MM } from '#engine/cloth/placed/backFloats.ts';
import { joinOfRow, turnMm } from '#engine/cloth/placed/joins.ts';
import { weftLaidMm } from '#engine/cloth/quantities/weftLaid.ts';
import { backFloatWay } from '#engine/packing/backFloatWay.ts';
import { buildExtras } from '#engine/packing/buildExtras.ts';
import { EXTRA_TEXELS } from '#engine/packing/clothBufferLayout.ts';
import { groupRowsIntoLines } from '#engine/packing/packLines.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { finish } from '#tests/helpers/finish.ts';

const laying: Laying = {
  picks: { from: 1, to: 4 },
  ends: { from: 9, to: 16 },
  strands: ['rope'],
  how: 'tapestry',
  join: 'slit',
  leaves: 'turn',
  tailMm: 15,
  tails: 'fringe',
};

function woven(...changes: Partial<Laying>[]) {
  const store = createSampleStore(smallSample());
  for (const change of changes) expect(store.dispatch(layOnlyHere({ ...laying, ...change }))?.message).toBeUndefined();
  return toClothProblem(store.state.getState().sample).problem;
}

const forecast = (problem: ClothProblem) => finish(forecastCloth(problem, 'preview'));

const bezier = (a: number, b: number, c: number, u: number) => (1 - u) ** 2 * a + 2 * u * (1 - u) * b + u * u * c;

/** Tubes of a row's turns, tails and floats: three points each. */
function tubesOf(problem: ClothProblem, row: number): number[][][] {
  const { geometry } = forecast(problem);
  const lines = groupRowsIntoLines(problem, geometry);
  const { data } = buildExtras(problem, geometry, lines);
  const found: number[][][] = [];
  for (let at = 0; at < data.length; at += EXTRA_TEXELS * 4) {
    if (data[at + 11] !== 2 * row) continue;
    found.push([0, 4, 8].map((k) => [...data.subarray(at + k, at + k + 3)]));
  }
  return found;
}

describe('joins of wefts placed by hand', () => {
  const [slit, dovetail, interlock] = (['slit', 'dovetail', 'interlock'] as const).map((join) => woven({ join }));
  const leaving = 0;

  it('are told by how the row leaves and what it meets', () => {
    expect(joinOfRow(slit, leaving)).toEqual({ kind: 'slit', beside: 1, leftEnd: 7, rightEnd: 8 });
    expect(joinOfRow(interlock, leaving)).toEqual({ kind: 'interlock', beside: 1, leftEnd: 7, rightEnd: 8 });
    expect(joinOfRow(dovetail, leaving)).toEqual({ kind: 'dovetail', beside: 1, leftEnd: 8, rightEnd: 8 });
    // The last part leaves at the edge of the cloth.
    expect(joinOfRow(slit, 2)).toBeUndefined();
  });

  it('a turn round an end is half a circle over two picks; linked, half a circle round the other weft and straight on', () => {
    const join = joinOfRow(interlock, leaving);
    const [kelp, rope] = [0, 1].map((row) => interlock.yarns[interlock.rowYarn[row]].contactWidthMm);
    const round = (Math.PI * (kelp + rope)) / 2;
    expect(turnMm(interlock, leaving, 0.5, join)).toBeCloseTo(round, 12);
    expect(turnMm(interlock, leaving, 5, join)).toBeCloseTo(round + 5 - (kelp + rope), 12);
    for (const problem of [slit, dovetail])
      expect(turnMm(problem, leaving, 0.5, joinOfRow(problem, leaving))).toBeCloseTo(Math.PI / 4, 12);
    // What is laid follows: the same way over the same ends, and the turn.
    const pitch = 0.5;
    expect(weftLaidMm(interlock, 0.1, pitch)[leaving] - weftLaidMm(slit, 0.1, pitch)[leaving]).toBeCloseTo(
      round - Math.PI / 4,
      12,
    );
  });

  it('slits open, dovetailed and interlocked wefts close; linked ones raise a ridge behind (common practice)', () => {
    const read = (problem: ClothProblem) => forecast(problem).readings.joins ?? [];
    expect(read(slit).map(({ leftEnd, rightEnd }) => [leftEnd, rightEnd])).toEqual([
      [7, 8],
      [15, 16],
    ]);
    for (const { openMm, ridgeMm, heightMm } of read(slit)) {
      expect(openMm!.value).toBeGreaterThan(0);
      expect(ridgeMm).toBeUndefined();
      expect(heightMm).toBeGreaterThan(1);
    }
    for (const { openMm, ridgeMm } of [...read(dovetail), ...read(interlock)]) {
      expect(openMm).toBeUndefined();
      expect(ridgeMm!.value).toBeGreaterThanOrEqual(0);
    }
    const pick = (row: number) => slit.rowPick[row] + 1;
    expect(joinWords(read(slit)[0], pick, 'cm')).toMatch(/^A slit between ends 8 and 9, picks 1–4: open over /);
    expect(joinWords(read(interlock)[0], pick, 'cm')).toMatch(/^Interlocked between ends 8 and 9.*closed and held/);
    expect(forecast(toClothProblem(smallSample()).problem).readings.joins).toBeUndefined();
  });

  it('drawn, linked turns pass the middle of the room between the ends and each other, one before and one behind', () => {
    const { geometry } = forecast(interlock);
    const middle = (geometry.endXMm[7] + geometry.endXMm[8]) / 2;
    // Kelp turns from pick 1 to 2 at the left of the join, rope from pick 2 to 3 at its right.
    const kelp = tubesOf(interlock, 3).find((points) => Math.abs(points[0][0] - geometry.endXMm[7]) < 0.5)!;
    const rope = tubesOf(interlock, 4).find((points) => Math.abs(points[0][0] - geometry.endXMm[8]) < 0.5)!;
    expect(kelp[2][0]).toBeGreaterThan(middle);
    expect(rope[2][0]).toBeLessThan(middle);
    // At pick 2 kelp comes back behind the rope that goes out.
    expect(kelp[1][2]).toBeLessThan(rope[1][2] - 0.2);
    // Where they pass in the middle of the room they touch: half of both heights apart, and not much more.
    const inMiddle = (points: number[][]) => {
      const steps = Array.from({ length: 401 }, (_, k) => k / 400);
      const [x, z] = [0, 2].map((axis) => (u: number) => bezier(points[0][axis], points[1][axis], points[2][axis], u));
      return z(steps.reduce((best, u) => (Math.abs(x(u) - middle) < Math.abs(x(best) - middle) ? u : best)));
    };
    const [ofKelp, ofRope] = [interlock.rowYarn[3], interlock.rowYarn[4]].map((yarn) => interlock.yarns[yarn]);
    const touch = (ofKelp.contactHeightMm + ofRope.contactHeightMm) / 2;
    expect((inMiddle(rope) - inMiddle(kelp)) / touch).toBeGreaterThan(0.95);
    expect((inMiddle(rope) - inMiddle(kelp)) / touch).toBeLessThan(1.3);
    // Parted by a slit, neither reaches the other.
    const parted = tubesOf(slit, 3).find((points) => Math.abs(points[0][0] - geometry.endXMm[7]) < 0.5)!;
    expect(parted[2][0] - geometry.endXMm[7]).toBeLessThan(kelp[2][0] - geometry.endXMm[7]);
  });
});

describe('wefts that go on behind', () => {
  const two = (leaves: Laying['leaves']) =>
    woven(
      { how: 'ownShed', leaves, picks: { from: 1, to: 2 }, ends: { from: 2, to: 4 } },
      { how: 'ownShed', leaves, picks: { from: 1, to: 4 }, ends: { from: 20, to: 22 } },
    );
  const places = ({ endXMm, rowPick }: ClothProblem) => ({ endXMm, rowYMm: Float64Array.from(rowPick) });

  it('span the ends between two motifs on one pick, and the picks to the next, whichever way they go', () => {
    const problem = two('behind');
    const floats = backFloats(problem, places(problem));
    // Pick 2 from the left, pick 4 from the right: out between the motifs, up at the edge, back.
    expect(floats.map(({ fromEnd, toEnd }) => [fromEnd, toEnd])).toEqual([
      [3, 19],
      [21, 21],
      [19, 3],
    ]);
    expect(floats[0].spanMm).toBeCloseTo(problem.endXMm[19] - problem.endXMm[3], 9);
    expect(floats.map(({ ties }) => ties)).toEqual([0, 0, 0]);
    const laid = weftLaidMm(problem, 0, 1);
    const alone = weftLaidMm({ ...problem, rowEnd: new Uint8Array(problem.rows).fill(RowEnd.cut) }, 0, 1);
    expect(laid[floats[0].row] - alone[floats[0].row]).toBeCloseTo(floats[0].spanMm, 6);
  });

  it('tied, no way is longer than an inch, and each tie takes half a circle round an end for its diameter', () => {
    const problem = two('tied');
    const wide = { ...problem, endXMm: problem.endXMm.map((x) => 4 * x) };
    const [float] = backFloats(wide, places(wide));
    expect(float.ties).toBeGreaterThan(1);
    expect(float.spanMm / (float.ties + 1)).toBeLessThanOrEqual(TIED_EVERY_MM);
    expect(float.spanMm / float.ties).toBeGreaterThan(TIED_EVERY_MM);
    const { endYarn, rowYarn, yarns } = wide;
    const round = yarns[endYarn[3]].contactWidthMm + yarns[rowYarn[float.row]].contactWidthMm;
    expect(float.lengthMm - float.spanMm).toBeCloseTo(float.ties * (Math.PI / 2 - 1) * round, 12);
  });

  it('come up before the end that they are tied to and lie behind between', () => {
    const problem = two('tied');
    const { geometry } = forecast(problem);
    const [float] = backFloats(problem, geometry);
    const tied = { ...float, ties: 1 };
    const at = { x: geometry.endXMm[3], y: 0, z: 0, halfHeight: 0.2 };
    const way = backFloatWay(problem, geometry, tied, at, { ...at, x: geometry.endXMm[19] });
    const highest = Math.max(...way.flatMap(([a, b, c]) => [0.25, 0.5, 0.75].map((u) => bezier(a[2], b[2], c[2], u))));
    const k = (float.row % geometry.periodRows) * geometry.periodEnds + (11 % geometry.periodEnds);
    expect(highest).toBeGreaterThan(geometry.warp.heightMm[k]);
    // Pieces join end to end.
    for (let piece = 1; piece < way.length; piece++) expect(way[piece][0]).toEqual(way[piece - 1][2]);
  });

  it('lie behind everything on their way, and say that they catch where nothing ties them', () => {
    const problem = two('behind');
    const { geometry, readings } = forecast(problem);
    const [{ row }] = backFloats(problem, geometry);
    const { heightMm } = geometry.warp;
    const lowest = heightMm.reduce((least, z) => Math.min(least, z), Number.POSITIVE_INFINITY);
    expect(
      Math.min(
        ...tubesOf(problem, row)
          .flat()
          .map(([, , z]) => z),
      ),
    ).toBeLessThan(lowest);
    const behind = readings.behind!;
    expect(behind.floats).toBe(3);
    expect(behindWords(behind, 2, 'cm')).toMatch(/^Behind the cloth 3 floats, the longest /);
    expect(behindWords({ ...behind, longestMm: 40 }, 2, 'cm')).toMatch(/It will catch: tie it behind, or cut it\.$/);
    expect(forecast(woven({ how: 'ownShed' })).readings.behind).toBeUndefined();
  });
});
