import { describe, expect, it } from 'vitest';
import { RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import { type Forecast, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { edgeTails } from '#engine/cloth/hold/edgeTails.ts';
import { heldLengthMm } from '#engine/cloth/hold/heldLength.ts';
import type { HeldWeft } from '#engine/cloth/hold/holdOfWefts.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { Treatment } from '#engine/cloth/states/treatments.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave, satin, twill } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import filmCard from '#presets/yarns/holo-film-strip-3x50.json';
import looseCard from '#presets/yarns/loose-fibre-inlay.json';
import woolCard from '#presets/yarns/shetland-single.json';
import chenilleCard from '#presets/yarns/viscose-chenille-1300.json';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';

const bodyOf = (card: object): YarnBody => yarnBody(yarnFactsOf(card as YarnRecord));
const cotton = bodyOf(cottonCard);
const film = bodyOf(filmCard);
const chenille = bodyOf(chenilleCard);
const loose = bodyOf(looseCard);
const wool = bodyOf(woolCard);

function forecast(
  weave: Drawdown,
  warp: YarnBody,
  weft: readonly YarnBody[],
  state: ClothState = 'offLoom',
  treatment: Treatment = 'none',
  endsPerCm = 8,
): Forecast {
  const problem = clothProblem({ weave, rows: 60, ends: 60, endsPerCm, warp: [warp], weft, endTensionN: 0.5 });
  return finish(forecastCloth(problem, 'preview', {}, { state, treatment }));
}

function holdOf(forecasted: Forecast, body: YarnBody): HeldWeft {
  const held = forecasted.readings.hold?.find(({ yarn }) => forecasted.problem.yarns[yarn].id === body.id);
  if (!held) throw new Error(`${body.id} is no weft here`);
  return held;
}

describe('the length that holds a thread', () => {
  it('is the capstan’s: over it friction multiplies what the cloth keeps to what the pull makes of it', () => {
    // T = T₀ e^{μΘ} (L. Euler 1769; J. A. Eytelwein 1808).
    const lengthMm = heldLengthMm(0.2, 0.01, 0.25, 0.8);
    expect(0.01 * Math.exp(0.25 * 0.8 * lengthMm)).toBeCloseTo(0.21, 12);
  });

  it('has no end where the thread runs straight or nothing pulls on it', () => {
    expect(heldLengthMm(0.2, 0.01, 0.25, 0)).toBe(Number.POSITIVE_INFINITY);
    expect(heldLengthMm(0.2, 0, 0.25, 0.8)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('how wefts hold off the loom', () => {
  it('plain weave holds better than twill, and twill than satin of the same yarns (common practice)', () => {
    const [plain, diagonal, smooth] = [plainWeave(), twill([2, 2]), satin(8, 3, 'warp')].map(
      (weave) => holdOf(forecast(weave, cotton, [cotton]), cotton).holdsOverMm,
    );
    expect(plain.value).toBeLessThan(diagonal.value);
    expect(diagonal.value).toBeLessThan(smooth.value);
    expect(plain.low).toBeLessThan(plain.value);
    expect(plain.high).toBeGreaterThan(plain.value);
  });

  it('cotton in plain weave holds within a centimetre, a strip of film in sateen slides (yarn card: slides out unless tied)', () => {
    expect(holdOf(forecast(plainWeave(), cotton, [cotton]), cotton).verdict).toBe('held');
    const slippery = holdOf(forecast(satin(8, 3, 'weft'), cotton, [cotton, film]), film);
    expect(['slides', 'fallsOut']).toContain(slippery.verdict);
  });

  it('wool that has felted holds several times better than before', () => {
    const cloth = (treatment: Treatment) =>
      holdOf(forecast(twill([2, 2]), wool, [wool], 'finished', treatment, 5), wool);
    expect(cloth('fulled').holdsOverMm.value).toBeLessThan(cloth('none').holdsOverMm.value / 2);
  });

  it('chenille works up into loops where it floats over more than two ends, and not in plain weave (common practice)', () => {
    const longFloats = holdOf(forecast(satin(5, 2, 'weft'), cotton, [cotton, chenille]), chenille);
    expect(longFloats.verdict).toBe('worms');
    expect(longFloats.floatEnds).toBe(4);
    expect(holdOf(forecast(plainWeave(), cotton, [cotton, chenille]), chenille).verdict).not.toBe('worms');
  });

  it('loose fibre drifts where it floats further than half a fibre as an end of it can reach', () => {
    const laid = holdOf(forecast(satin(8, 3, 'weft'), cotton, [cotton, loose], 'offLoom', 'none', 5), loose);
    expect(laid.floatMm).toBeGreaterThan(10);
    expect(laid.verdict).toBe('drifts');
  });
});

describe('tails laid back', () => {
  it('make the edges thicker by the yarn where folded behind, by half of it where tucked, by nothing as fringe', () => {
    const problem = clothProblem({
      weave: plainWeave(),
      rows: 10,
      ends: 10,
      endsPerCm: 5,
      warp: [cotton],
      weft: [cotton],
    });
    const with3 = (tails: RowTails) => {
      const rowEnd = problem.rowEnd.slice();
      const rowTails = new Uint8Array(problem.rows);
      rowEnd[3] = RowEnd.cut;
      rowTails[3] = tails;
      return edgeTails({ ...problem, rowEnd, rowTails });
    };
    const folded = with3(RowTails.folded);
    expect(folded?.extraMm.value).toBeCloseTo(cotton.contactHeightMm, 12);
    expect([folded?.row, folded?.share]).toEqual([3, 0.1]);
    expect(with3(RowTails.tucked)?.extraMm.value).toBeCloseTo(cotton.contactHeightMm / 2, 12);
    expect(with3(RowTails.fringe)).toBeUndefined();
    expect(edgeTails(problem)).toBeUndefined();
  });
});

describe('what a cloth tends to do, lying free', () => {
  it('plain weave lies flat; warp satin rolls to the face along the warp, weft sateen the other way', () => {
    const curls = (weave: Drawdown) => forecast(weave, cotton, [cotton]).readings.curls;
    expect(curls(plainWeave())).toEqual({ along: undefined, across: undefined });
    const warpFaced = curls(satin(8, 3, 'warp'));
    const weftFaced = curls(satin(8, 3, 'weft'));
    expect(warpFaced?.along?.to).toBe('face');
    expect(weftFaced?.along?.to).toBe('back');
    // The same cloth turned over rolls alike.
    const [a, b] = [warpFaced?.along?.radiusMm.value ?? 0, weftFaced?.along?.radiusMm.value ?? 0];
    expect(Math.abs(a / b - 1)).toBeLessThan(0.15);
  });

  it('satin stripes come slack beside plain ones on one beam; stripes of one weave do not (common practice)', () => {
    const striped = blockDrawdown([[0, 1]], [plainWeave(), satin(5, 2, 'warp')], 30, 10);
    const { pucker } = forecast(striped, cotton, [cotton], 'onLoom').readings;
    expect(pucker?.slackMmPerM.value).toBeGreaterThan(10);
    expect(pucker?.firstEnd).toBeGreaterThan(25);
    expect(forecast(plainWeave(), cotton, [cotton], 'onLoom').readings.pucker).toBeUndefined();
  });
});
