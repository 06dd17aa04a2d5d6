const MOST_GIVES = 24;

/** Turns in which what is left is shared out anew when something has reached its bound. */
const TURNS = 3;

/** What may give where two surfaces lie in one another, and how far it parts them. */
export class Contact {
  /** How far the surfaces lie in one another, mm. */
  missingMm = 0;
  private count = 0;
  private readonly field: Float32Array[] = [];
  private readonly index = new Uint32Array(MOST_GIVES);
  private readonly rate = new Float64Array(MOST_GIVES);
  private readonly softness = new Float64Array(MOST_GIVES);
  private readonly least = new Float64Array(MOST_GIVES);
  private readonly most = new Float64Array(MOST_GIVES);
  private readonly value = new Float64Array(MOST_GIVES);

  begin(missingMm: number): void {
    this.missingMm = missingMm;
    this.count = 0;
  }

  /**
   * A value that may change within its bounds.
   * @param rate by how much a unit of it parts the surfaces, mm
   * @param softness how far a force moves it, in its unit times mm/N over mm²
   */
  add(field: Float32Array, index: number, rate: number, softness: number, least = -Infinity, most = Infinity): void {
    if (rate === 0 || softness === 0) return;
    const k = this.count++;
    this.field[k] = field;
    this.index[k] = index;
    this.rate[k] = rate;
    this.softness[k] = softness;
    this.least[k] = least;
    this.most[k] = most;
    this.value[k] = field[index];
  }

  /**
   * Lets one force part the surfaces: each value gives as it is soft, none beyond its bounds.
   * @returns whether anything gave
   */
  settle(): boolean {
    const { count, rate, softness, least, most, value, field, index } = this;
    let missing = this.missingMm;
    for (let turn = 0; turn < TURNS && missing > 0; turn++) {
      let sum = 0;
      for (let k = 0; k < count; k++) if (this.gives(k)) sum += softness[k] * rate[k] * rate[k];
      if (!(sum > 0)) break;
      const force = missing / sum;
      for (let k = 0; k < count; k++) {
        if (!this.gives(k)) continue;
        const next = Math.min(most[k], Math.max(least[k], value[k] + softness[k] * rate[k] * force));
        missing -= (next - value[k]) * rate[k];
        value[k] = next;
      }
    }
    if (missing === this.missingMm) return false;
    for (let k = 0; k < count; k++) field[k][index[k]] = value[k];
    return true;
  }

  private gives(k: number): boolean {
    return this.rate[k] > 0 ? this.value[k] < this.most[k] : this.value[k] > this.least[k];
  }
}
