import type { ClothReader } from '#engine/packing/walk/clothReader.ts';

/** The part of the cloth that belongs to a crossing: halfway to the threads on either side; x0, y0, x1, y1, mm. */
export function crossingCell(
  out: Float32Array | Float64Array | number[],
  at: number,
  reader: ClothReader,
  line: number,
  end: number,
): void {
  const { cloth } = reader;
  const x = reader.endX(end);
  const y = reader.lineY(line);
  out[at] = 0.5 * (reader.endX(Math.max(0, end - 1)) + x);
  out[at + 1] = 0.5 * (reader.lineY(Math.max(0, line - 1)) + y);
  out[at + 2] = 0.5 * (x + reader.endX(Math.min(cloth.ends - 1, end + 1)));
  out[at + 3] = 0.5 * (y + reader.lineY(Math.min(cloth.lines - 1, line + 1)));
}

/** Area of a crossing's cell, mm²; at the cloth's border as large as if it went on. */
export function crossingArea(reader: ClothReader, line: number, end: number): number {
  const { cloth } = reader;
  const x = reader.endX(Math.min(end + 1, cloth.ends - 1)) - reader.endX(Math.max(end - 1, 0));
  const y = reader.lineY(Math.min(line + 1, cloth.lines - 1)) - reader.lineY(Math.max(line - 1, 0));
  const whole = (k: number, count: number) => (k > 0 && k + 1 < count ? 0.5 : 1);
  return x * whole(end, cloth.ends) * y * whole(line, cloth.lines);
}
