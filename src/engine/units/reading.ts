/** A figure with what it may be for all that is not known: [least, most]. */
export interface Reading {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}
