import { type CrushLaw, crushedHeightMm } from '#engine/yarn/compression.ts';

/** Steps of a table over q = F/(F + F0); linear between, within 0.2 % of the height. */
const STEPS = 128;

/** Half height of a section by the force of its crossing, looked up: it is asked for at every crossing, many times. */
export class CrushTable {
  private readonly halfHeight = new Float64Array(STEPS + 2);
  private readonly middleN: number;

  constructor(law: CrushLaw) {
    // Half way along the table: where the law has taken the section from rest to its contact height, or near it.
    this.middleN = Math.max(1e-6, 0.05 * law.stiffnessN);
    for (let k = 0; k < STEPS; k++) {
      const q = k / STEPS;
      this.halfHeight[k] = 0.5 * crushedHeightMm(law, (this.middleN * q) / (1 - q));
    }
    this.halfHeight[STEPS] = 0.5 * law.leastHeightMm;
    this.halfHeight[STEPS + 1] = this.halfHeight[STEPS];
  }

  at(forceN: number): number {
    const step = (STEPS * forceN) / (forceN + this.middleN);
    const whole = step | 0;
    const { halfHeight } = this;
    return halfHeight[whole] + (step - whole) * (halfHeight[whole + 1] - halfHeight[whole]);
  }

  /** How fast it gives, mm/N. */
  giveAt(forceN: number): number {
    const sum = forceN + this.middleN;
    const whole = ((STEPS * forceN) / sum) | 0;
    return ((this.halfHeight[whole] - this.halfHeight[whole + 1]) * STEPS * this.middleN) / (sum * sum);
  }
}

/** Tables of a family's threads, one for each law. */
export function crushTables(laws: readonly CrushLaw[]): CrushTable[] {
  const known = new Map<CrushLaw, CrushTable>();
  return laws.map((law) => {
    let table = known.get(law);
    if (!table) {
      table = new CrushTable(law);
      known.set(law, table);
    }
    return table;
  });
}
