/** A run: the same value `length` times over (length a whole number from 1). */
export interface Run<T> {
  readonly value: T;
  readonly length: number;
}

export function expandRuns<T>(runs: readonly Run<T>[]): T[] {
  const values: T[] = [];
  for (const { value, length } of runs) for (let k = 0; k < length; k++) values.push(value);
  return values;
}

/** The fewest runs that give the values; neighbours are joined where they are identical (===). */
export function collapseRuns<T>(values: ArrayLike<T>): Run<T>[] {
  const runs: { value: T; length: number }[] = [];
  for (let i = 0; i < values.length; i++) {
    const last = runs[runs.length - 1];
    if (last !== undefined && last.value === values[i]) last.length++;
    else runs.push({ value: values[i], length: 1 });
  }
  return runs;
}
