import { describe, expect, it } from 'vitest';
import type { ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { clothGeometry } from '#engine/cloth/forecast/clothGeometry.ts';
import { fieldsByKinds, type KindsMemory } from '#engine/cloth/forecast/fieldsByKinds.ts';
import { type ForecastMemory, forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { chooseRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { layWhole } from '#engine/cloth/kinds/kindFields.ts';
import { Neighbourhoods } from '#engine/cloth/kinds/neighbourhoods.ts';
import { threadKeys } from '#engine/cloth/kinds/threadKeys.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { createDrawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { xorshift } from '#tests/engine/cloth/heights/problems.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

const DIAMETER_MM = 0.287;

/** Eight-end satins shaded from weft to warp face, corner to corner. */
function shaded(side: number): ClothProblem {
  const weave = createDrawdown(side, side);
  for (let row = 0; row < side; row++) {
    for (let end = 0; end < side; end++) {
      const tone = 1 + Math.floor((6.99 * (row + end)) / (2 * side - 1));
      setWarpUp(weave, row, end, (end + 8 * side - 3 * row) % 8 < tone);
    }
  }
  const yarn = roundBody('20/2', DIAMETER_MM, 0.0082, 59.05);
  return clothProblem({ weave, rows: side, ends: side, endsPerCm: 16, warp: [yarn], weft: [yarn] });
}

/** Differences of heights over D, ascending, of the crossings chosen. */
function differences(
  a: { readonly warp: CurveField; readonly weft: CurveField },
  b: { readonly warp: CurveField; readonly weft: CurveField },
  chosen: (crossing: number) => boolean = () => true,
): number[] {
  const out: number[] = [];
  for (let k = 0; k < a.warp.heightMm.length; k++) {
    if (!chosen(k)) continue;
    out.push(Math.abs(a.warp.heightMm[k] - b.warp.heightMm[k]) / DIAMETER_MM);
    out.push(Math.abs(a.weft.heightMm[k] - b.weft.heightMm[k]) / DIAMETER_MM);
  }
  return out.sort((x, y) => x - y);
}

const at = (values: number[], share: number) => values[Math.floor(share * (values.length - 1))];

describe('a preview of another beat', () => {
  it('takes heights as they were settled, within a twentieth of D of settling anew', () => {
    const problem = shaded(64);
    const { beat } = problem;
    const firmer = { ...problem, beat: { ...beat, firmness: beat.firmness.map((f) => f + 0.05) } };
    const memory: ForecastMemory = {};
    finish(forecastCloth(problem, 'settled', memory));
    const preview = finish(forecastCloth(firmer, 'preview', memory)).geometry;
    const settled = finish(forecastCloth(firmer, 'settled')).geometry;
    const off = differences(preview, settled);
    // A preview may err by a twentieth of D.
    expect(at(off, 0.95)).toBeLessThan(0.05);
    expect(at(off, 1)).toBeLessThan(0.1);
    // The warp climbs from row to row over the new spaces.
    const ratio = (row: number) => preview.warp.slope[row * 64 + 30] / settled.warp.slope[row * 64 + 30];
    const ratios = Array.from({ length: 40 }, (_, k) => ratio(12 + k)).sort((x, y) => x - y);
    expect(Math.abs(ratios[20] - 1)).toBeLessThan(0.03);
  });

  it('is solved where lifts have turned', () => {
    const problem = shaded(64);
    const memory: ForecastMemory = {};
    finish(forecastCloth(problem, 'settled', memory));
    const drawdown = { ...problem.drawdown, bits: problem.drawdown.bits.slice() };
    const up = isWarpUp(drawdown, 50, 50);
    setWarpUp(drawdown, 50, 50, !up);
    const { warp, weft } = finish(forecastCloth({ ...problem, drawdown }, 'preview', memory)).geometry;
    const k = 50 * 64 + 50;
    expect(Math.sign(warp.heightMm[k] - weft.heightMm[k])).toBe(up ? -1 : 1);
  });
});

describe('a large cloth by kinds of crossing', () => {
  const side = 200;
  const problem = shaded(side);
  const { rowYMm } = rowPositions(problem, false);

  it('stands within a twelfth of D of a full solve where crossings are alike to six others, and on the right side everywhere', () => {
    const places = { evenYMm: rowYMm, solvedYMm: rowYMm, drawnYMm: rowYMm };
    const none = { weft: new Float64Array(side), warp: new Float64Array(side) };
    const region = chooseRegion(problem);
    const full = finish(clothGeometry(problem, region, places, 'settled', {}, none)).geometry;
    const memory: KindsMemory = {};
    const found = finish(fieldsByKinds(problem, rowYMm, rowYMm, memory));
    const plan = memory.plan;
    if (!found || !plan) throw new Error('no kinds');
    const about = new Neighbourhoods(problem.drawdown, plan.keys, 6);
    const { warp, weft } = finish(layWhole(found.byKinds));
    const kindAt = (k: number) => {
      const row = Math.floor(k / side);
      const band = plan.bands.find(({ to }) => row < to);
      return band ? band.globalOf[band.kindOf[k - band.from * side]] : -1;
    };
    const alike = (k: number) => {
      const of = plan.standsFor[kindAt(k)];
      about.look(Math.floor(of / side), of % side);
      const { a, b } = about;
      about.look(Math.floor(k / side), k % side);
      return about.a === a && about.b === b;
    };
    const off = differences({ warp, weft }, full, alike);
    expect(off.length).toBeGreaterThan(side * side);
    // What a preview of the windows errs by, and what lies beyond six threads.
    expect(at(off, 0.95)).toBeLessThan(0.08);
    for (let k = 0; k < side * side; k++) {
      const up = isWarpUp(problem.drawdown, Math.floor(k / side), k % side);
      expect(warp.heightMm[k] > weft.heightMm[k]).toBe(up);
    }
  });

  it('tells kinds apart by lifts within reach and by threads, and by nothing else', () => {
    const random = xorshift(9);
    const weave = createDrawdown(70, 70);
    for (let row = 0; row < 70; row++)
      for (let end = 0; end < 70; end++) setWarpUp(weave, row, end, (row + 2 * end) % 5 === 0 || random() < 0.01);
    const [thick, thin] = [roundBody('thick', 0.6, 0.02), roundBody('thin', 0.3, 0.01)];
    const cloth = clothProblem({ weave, rows: 70, ends: 70, endsPerCm: 10, warp: [thin], weft: [thin, thin, thick] });
    const keys = threadKeys(cloth, rowPositions(cloth, false).rowYMm);
    const reach = 2;
    const numbered = finish(new Neighbourhoods(weave, keys, reach).numberRows(0, 70));
    const named = new Map<string, number>();
    const lift = (row: number, end: number) =>
      row < 0 || row >= 70 || end < 0 || end >= 70 ? '.' : isWarpUp(weave, row, end) ? '1' : '0';
    for (let row = 0; row < 70; row++) {
      for (let end = 0; end < 70; end++) {
        let name = '';
        for (let j = row - reach; j <= row + reach; j++) {
          name += keys.rows[j];
          for (let i = end - reach; i <= end + reach; i++) name += lift(j, i);
        }
        const kind = numbered.kindOf[row * 70 + end];
        expect(named.get(name) ?? kind).toBe(kind);
        named.set(name, kind);
      }
    }
    expect(numbered.a.length).toBe(named.size);
  });
});
