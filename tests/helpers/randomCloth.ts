import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { clothGeometry } from '#engine/cloth/forecast/clothGeometry.ts';
import { chooseRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { finish } from './finish.ts';
import { clothProblem, roundBody } from './problems.ts';

/** A round yarn 0.2–0.9 mm wide where pressed, up to 1.5 times that free, stiff and hard within a decade of its size's usual. */
function randomYarn(id: string, random: () => number): YarnBody {
  const widthMm = 0.2 + 0.7 * random();
  const open = 1 + 0.5 * random();
  const bendingNmm2 = 0.02 * (widthMm / 0.45) ** 3 * 10 ** (random() - 0.5);
  return {
    ...roundBody(id, widthMm, bendingNmm2),
    bodyWidthMm: open * widthMm,
    bodyHeightMm: open * widthMm,
    freeWidthMm: open * widthMm,
    contactStiffnessN: 10 * (widthMm / 0.45) ** 2 * 10 ** (random() - 0.5),
    contactPacking: 0.4 + 0.3 * random(),
  };
}

/** A cloth of up to three warps and three wefts in a weave of no order, sett as openly as weavers would or more closely. */
export function randomCloth(random: () => number): ClothProblem {
  const rows = 2 + Math.floor(8 * random());
  const ends = 2 + Math.floor(8 * random());
  const weave = createDrawdown(rows, ends);
  for (let j = 0; j < rows; j++) for (let i = 0; i < ends; i++) setWarpUp(weave, j, i, random() < 0.5);
  // A thread that never changes side is not woven in.
  for (let j = 0; j < rows; j++) {
    setWarpUp(weave, j, j % ends, true);
    setWarpUp(weave, j, (j + 1) % ends, false);
  }
  for (let i = 0; i < ends; i++) {
    setWarpUp(weave, i % rows, i, true);
    setWarpUp(weave, (i + 1) % rows, i, false);
  }
  const yarns = (name: string) =>
    Array.from({ length: 1 + Math.floor(3 * random()) }, (_, k) => randomYarn(`${name} ${k}`, random));
  const warp = yarns('warp');
  const weft = yarns('weft');
  const widest = Math.max(...warp.map((body) => body.contactWidthMm));
  return clothProblem({
    weave,
    rows: 8 * rows * weft.length,
    ends: 4 * ends * warp.length,
    endsPerCm: 10 / (widest * (1.15 + 1.2 * random())),
    warp,
    weft,
    endTensionN: 0.05 + 0.75 * random(),
    firmness: random(),
  });
}

/** As drawn on the loom, before yarns' own unevenness. */
export function drawnOnLoom(problem: ClothProblem): ClothGeometry {
  const { rowYMm } = rowPositions(problem, false);
  const places = { evenYMm: rowYMm, solvedYMm: rowYMm, drawnYMm: rowYMm };
  const none = { weft: new Float64Array(problem.rows), warp: new Float64Array(problem.ends) };
  return finish(clothGeometry(problem, chooseRegion(problem), places, 'settled', {}, none)).geometry;
}
