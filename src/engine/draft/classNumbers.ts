/** Numbers for things of like keys, from 0 in the order met. */
export function classNumbers(keys: Iterable<string>): Uint32Array {
  const numbers = new Map<string, number>();
  const out: number[] = [];
  for (const key of keys) {
    const known = numbers.get(key) ?? numbers.size;
    numbers.set(key, known);
    out.push(known);
  }
  return Uint32Array.from(out);
}
