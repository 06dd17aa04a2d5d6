/** Mean of the values; 0 of none. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let k = 0; k < values.length; k++) sum += values[k];
  return values.length > 0 ? sum / values.length : 0;
}
