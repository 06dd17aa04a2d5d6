/** Numbers given to pairs of 32-bit sums, in the order met. */
export class PairNumbers {
  count = 0;
  private mask = (1 << 12) - 1;
  private a = new Int32Array(1 << 12);
  private b = new Int32Array(1 << 12);
  private number = new Int32Array(1 << 12).fill(-1);

  /** Slot of a pair, or the free one where it would stand. */
  private slotOf(a: number, b: number): number {
    let slot = (a ^ (b >>> 7)) & this.mask;
    while (this.number[slot] >= 0 && (this.a[slot] !== a || this.b[slot] !== b)) slot = (slot + 1) & this.mask;
    return slot;
  }

  /** −1 where the pair has none. */
  find(a: number, b: number): number {
    return this.number[this.slotOf(a, b)];
  }

  add(a: number, b: number): number {
    const slot = this.slotOf(a, b);
    const known = this.number[slot];
    if (known >= 0) return known;
    this.a[slot] = a;
    this.b[slot] = b;
    this.number[slot] = this.count++;
    if (2 * this.count > this.mask) this.grow();
    return this.count - 1;
  }

  /** The pairs by their numbers. */
  pairs(): { readonly a: Int32Array; readonly b: Int32Array } {
    const a = new Int32Array(this.count);
    const b = new Int32Array(this.count);
    for (let slot = 0; slot < this.number.length; slot++) {
      const number = this.number[slot];
      if (number < 0) continue;
      a[number] = this.a[slot];
      b[number] = this.b[slot];
    }
    return { a, b };
  }

  private grow(): void {
    const { a, b, number } = this;
    const size = 2 * number.length;
    this.mask = size - 1;
    this.a = new Int32Array(size);
    this.b = new Int32Array(size);
    this.number = new Int32Array(size).fill(-1);
    for (let k = 0; k < number.length; k++) {
      if (number[k] < 0) continue;
      const slot = this.slotOf(a[k], b[k]);
      this.a[slot] = a[k];
      this.b[slot] = b[k];
      this.number[slot] = number[k];
    }
  }
}
