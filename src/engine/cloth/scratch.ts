/**
 * Arrays kept from one computation to the next, by name: for a whole cloth, fresh memory costs more than filling it.
 * An array taken belongs to the taker until its name is taken again.
 */
export class Scratch {
  private readonly kept = new Map<string, Float64Array>();

  /** An array of that length; what it holds is left from its last use. */
  takeDirty(name: string, length: number): Float64Array {
    let array = this.kept.get(name);
    if (array?.length !== length) {
      array = new Float64Array(length);
      this.kept.set(name, array);
    }
    return array;
  }

  /** An array of that length, all zero. */
  take(name: string, length: number): Float64Array {
    const known = this.kept.get(name);
    const array = this.takeDirty(name, length);
    // Fresh memory is zero already, and not even there before it is used.
    return array === known ? array.fill(0) : array;
  }
}
