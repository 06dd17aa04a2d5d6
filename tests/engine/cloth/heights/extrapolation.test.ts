import { describe, expect, it } from 'vitest';
import { Extrapolation } from '#engine/cloth/heights/extrapolation.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { evenCloth, largestDifference, layersOfPlain, solve } from './problems.ts';

/** Shadows whose plain step, taken without over-relaxation, is `map`: pulls are the shadows, heights where they lead. */
function iteration(start: Float64Array, map: (v: Float64Array) => Float64Array) {
  const shadow = start.slice();
  const height = new Float64Array(shadow.length);
  const extrapolation = new Extrapolation([{ shadow, pull: shadow, height }], new Scratch());
  return {
    shadow,
    extrapolation,
    step() {
      height.set(map(shadow));
      if (extrapolation.able) extrapolation.relax(1);
      else shadow.set(height);
    },
  };
}

const distance = (a: Float64Array, b: Float64Array) => Math.max(...a.map((x, n) => Math.abs(x - b[n])));

describe('extrapolated steps', () => {
  it('find the fixed point of a linear map of a decay and a damped turn, where plain steps are still far off', () => {
    // v → fixed + A(v − fixed), A turns the first two by 50° and shrinks them to 0.96, the rest to 0.9; all else is there.
    const fixed = Float64Array.from({ length: 200 }, (_, n) => Math.sin(n));
    const [cos, sin] = [0.96 * Math.cos(0.87), 0.96 * Math.sin(0.87)];
    const map = (v: Float64Array) => {
      const e = v.map((x, n) => x - fixed[n]);
      const out = fixed.map((x, n) => x + 0.9 * e[n]);
      out[0] = fixed[0] + cos * e[0] - sin * e[1];
      out[1] = fixed[1] + sin * e[0] + cos * e[1];
      return out;
    };
    const start = fixed.map((x) => x + 1);
    const run = iteration(start, map);
    let plain = start;
    for (let k = 0; k < 12; k++) {
      run.step();
      plain = map(plain);
    }
    expect(distance(plain, fixed)).toBeGreaterThan(0.3);
    expect(distance(run.shadow, fixed)).toBeLessThan(1e-3);
  });

  it('leave plain steps alone where five of them do not tell what is left', () => {
    // Forty planes turned by forty angles all round, all shrunk to 0.99; started so that all steps are alike long. The best
    // that six such steps could do is their mean, 1 / √6 of each.
    const turn = (k: number) => [0.99 * Math.cos((Math.PI * (k + 1)) / 40), 0.99 * Math.sin((Math.PI * (k + 1)) / 40)];
    const map = (v: Float64Array) => {
      const out = v.slice();
      for (let k = 0; k < 80; k += 2) {
        const [cos, sin] = turn(k);
        out[k] = cos * v[k] - sin * v[k + 1];
        out[k + 1] = sin * v[k] + cos * v[k + 1];
      }
      return out;
    };
    const start = new Float64Array(80);
    for (let k = 0; k < 80; k += 2) start[k] = 1 / Math.hypot(turn(k)[0] - 1, turn(k)[1]);
    const run = iteration(start, map);
    let plain = start;
    for (let k = 0; k < 60; k++) {
      run.step();
      plain = map(plain);
      expect(distance(run.shadow, plain)).toBeLessThan(1e-12);
    }
    expect(run.extrapolation.able).toBe(false);
  });

  it('are taken back where the residual grows by them, and given up after three', () => {
    // Where steps to nought of a tenth lead there is none; a little below it they lead far off.
    const plainStep = (x: number) => (x > 1e-9 ? 0.9 * x : x + 5);
    const map = (v: Float64Array) => v.map(plainStep);
    const run = iteration(Float64Array.of(1, 1, 1), map);
    let before = run.shadow.slice();
    let backs = 0;
    for (let k = 0; k < 40; k++) {
      const from = run.shadow.slice();
      run.step();
      // Led to nought, the next step puts back the plain one from before.
      if (from[0] <= 1e-9) {
        expect(distance(run.shadow, before.map(plainStep))).toBeLessThan(1e-12);
        backs++;
      } else before = from;
    }
    expect(backs).toBe(3);
    expect(run.extrapolation.able).toBe(false);
    expect(run.shadow[0]).toBeGreaterThan(0);
    expect(run.shadow[0]).toBeLessThan(1);
  });
});

describe('repeats whose last steps are extrapolated', () => {
  it('double plain under a taut warp takes far fewer iterations than plain steps, 162', () => {
    const even = {
      rows: 24,
      ends: 24,
      weave: layersOfPlain(2),
      p1: 0.5,
      p2: 0.5,
      warpTightness: 200,
      weftTightness: 4,
    };
    const { converged, iterations } = solve(evenCloth(even)).residuals;
    expect(converged).toBe(true);
    expect(iterations).toBeLessThan(100);
  });

  for (const [layers, size] of [
    [2, 4],
    [3, 6],
    // Layers that do not join up at the seam.
    [2, 9],
    [3, 8],
  ])
    it(`${layers} plain cloths in ${size} × ${size}: within 1 % of D of a solve a thousand times closer`, () => {
      for (const warpTightness of [0, 3, 30, 100, 200]) {
        const p = 1 / layers;
        const problem = evenCloth({
          rows: size,
          ends: size,
          weave: layersOfPlain(layers),
          p1: p,
          p2: p,
          warpTightness,
          weftTightness: Math.min(warpTightness, 4),
        });
        const close = solve(problem, { tolerance: 1e-6, errorTolerance: 3e-6, maxIterations: 20_000 });
        const s = solve(problem);
        expect(s.residuals.converged).toBe(true);
        expect(largestDifference(s, close, 0.4)).toBeLessThan(0.01);
      }
    });
});
