/** A figure as it is typed, with point or comma; undefined where nothing is written, NaN where it is no figure. */
export function readNumber(text: string): number | undefined {
  const plain = text.trim().replace(',', '.');
  if (plain === '') return undefined;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN;
}
