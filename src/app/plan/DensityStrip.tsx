import { useMemo } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { type PickDensity, pickDensity } from '#engine/cloth/spacing/pickDensity.ts';
import { lengthText } from './planWords.ts';

/** Length over which picks are counted here: as long as a thumb is wide, so that a ruler can follow it. */
const WINDOW_MM = 20;
const WIDTH = 600;
const HEIGHT = 96;
/** Below this coefficient of variation no eye tells one stretch of cloth from the next. */
const NOTHING = 0.002;

/** Picks along the cloth, as structure, beat and hand make them; each in words and as a line. */
export function DensityStrip() {
  const { forecast } = useTable();
  const problem = useStore(forecast.state, (state) => state.resultCloth?.problem);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const density = useMemo(() => problem && densityOf(problem), [problem]);
  if (!density) return null;
  const { structure, meant, woven, variation } = density;
  const all = [structure, meant, woven];
  const least = Math.min(...all.map((values) => Math.min(...values)));
  const most = Math.max(...all.map((values) => Math.max(...values)));
  const low = Math.min(least, most * 0.9);
  const range = [low, most].map((value) => quantity(value, 'perLength', system));
  const part = (share: number) => (share < NOTHING ? 'nothing' : `${formatNumber(100 * share, 1)} %`);
  return (
    <fieldset className="density">
      <legend>Picks along the cloth</legend>
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label="Picks along the cloth, the first woven at the left"
      >
        <path className="density-woven" d={pathOf(density, woven, low, most)} />
        <path className="density-meant" d={pathOf(density, meant, low, most)} />
        <path className="density-structure" d={pathOf(density, structure, low, most)} />
      </svg>
      <p className="soft">
        {`Counted over ${lengthText(WINDOW_MM, system)}, from the first pick at the left; ${range[0].text} to ${range[1].text} ${range[1].unit}. `}
        <span className="key-structure">Structure alone</span>
        {` varies by ${part(variation.structure)}; `}
        <span className="key-meant">your beat</span>
        {` adds ${part(variation.beat)}; `}
        <span className="key-woven">the unevenness of the hand, and pauses</span>
        {` add ${part(variation.hand)}.`}
      </p>
    </fieldset>
  );
}

/** Undefined where the picks cannot be placed: the cloth then says so itself. */
function densityOf(problem: ClothProblem): PickDensity | undefined {
  if (problem.rows < 4) return undefined;
  try {
    return pickDensity(problem, WINDOW_MM);
  } catch (error) {
    if (error instanceof ClothError) return undefined;
    throw error;
  }
}

function pathOf({ yMm }: PickDensity, values: Float64Array, low: number, most: number): string {
  const last = yMm[yMm.length - 1];
  const step = Math.max(1, Math.floor(values.length / WIDTH));
  const parts: string[] = [];
  for (let pick = 0; pick < values.length; pick += step) {
    const x = (WIDTH * yMm[pick]) / last;
    const y = 4 + (HEIGHT - 8) * (1 - (values[pick] - low) / Math.max(1e-9, most - low));
    parts.push(`${pick === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`);
  }
  return parts.join('');
}
