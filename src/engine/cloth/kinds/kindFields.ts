import type { CurveField, HeldRows, KindBand, KindFields } from '#engine/cloth/clothTypes.ts';
import { inBands } from '#engine/cloth/pauses.ts';
import { GOLDEN } from '#engine/units/evenPlaces.ts';

/** Numbers kept of a kind: eight of its end, eight of its row, in the order of FIELDS. */
export const KIND_NUMBERS = 16;
const FIELDS = [
  ...(['heightMm', 'slope', 'offsetMm', 'offsetSlope'] as const),
  ...(['wrapStartMm', 'wrapEndMm', 'widthFactor', 'heightFactor'] as const),
];
const KIND_SHIFT = 4;
const OFFSETS = [2, 3];

export interface BothFields {
  readonly warp: CurveField;
  readonly weft: CurveField;
}

function emptyField(size: number): CurveField {
  return Object.fromEntries(FIELDS.map((name) => [name, new Float32Array(size)])) as unknown as CurveField;
}

/** Mean space either side of a position, mm. */
export function spaceAbout(positionMm: ArrayLike<number>, k: number): number {
  const from = Math.max(0, k - 1);
  const to = Math.min(positionMm.length - 1, k + 1);
  const space = to > from ? (positionMm[to] - positionMm[from]) / (to - from) : 0;
  return space > 0 ? space : 1;
}

/** One over the space about each position, per mm. */
export function perSpaces(positionMm: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: positionMm.length }, (_, k) => 1 / spaceAbout(positionMm, k));
}

/** Writes a crossing's numbers at a family's place in its kind's, slopes times the space about the crossing. */
export function noteKind(known: Float32Array, at: number, field: CurveField, k: number, spaceMm: number): void {
  FIELDS.forEach((name, number) => {
    known[at + number] = field[name][k];
  });
  known[at + 1] *= spaceMm;
  known[at + 3] *= spaceMm;
}

/** Whether no thread of a family leaves its line sideways: 0 the warp, 1 the weft. */
export function kindsAreStraight({ known }: KindFields, family: 0 | 1): boolean {
  for (let at = (KIND_NUMBERS / 2) * family; at < known.length; at += KIND_NUMBERS)
    if (OFFSETS.some((number) => known[at + number] !== 0)) return false;
  return true;
}

/** Greatest |wrap| of any kind, mm. */
export function mostWrapMm({ known }: KindFields): number {
  let most = 0;
  for (let at = 0; at < known.length; at += KIND_NUMBERS / 2)
    most = Math.max(most, Math.abs(known[at + 4]), Math.abs(known[at + 5]));
  return most;
}

/** Writes a row's crossings from `place` on; `kinds` from `first` on are numbers of `known`. */
function layRow(
  { warp, weft }: BothFields,
  place: number,
  known: Float32Array,
  kinds: Uint32Array,
  first: number,
  perYMm: number,
  perXMm: Float64Array,
): void {
  const ends = perXMm.length;
  const per = [perYMm, perXMm] as const;
  [warp, weft].forEach((family, n) => {
    layFamily(family, place, known, (KIND_NUMBERS / 2) * n, kinds, first, ends, per[n]);
  });
}

/** @param from where the family's numbers begin in a kind's @param per one over the space, of all crossings or of each */
function layFamily(
  { heightMm, slope, offsetMm, offsetSlope, wrapStartMm, wrapEndMm, widthFactor, heightFactor }: CurveField,
  place: number,
  known: Float32Array,
  from: number,
  kinds: Uint32Array,
  first: number,
  ends: number,
  per: number | Float64Array,
): void {
  const one = typeof per === 'number' ? per : 0;
  const each = typeof per === 'number' ? undefined : per;
  for (let end = 0; end < ends; end++) {
    const k = place + end;
    // Shifted, not multiplied: a whole number then, without a look at whether it is still one.
    const at = (kinds[first + end] << KIND_SHIFT) + from;
    const perMm = each ? each[end] : one;
    heightMm[k] = known[at];
    slope[k] = known[at + 1] * perMm;
    offsetMm[k] = known[at + 2];
    offsetSlope[k] = known[at + 3] * perMm;
    wrapStartMm[k] = known[at + 4];
    wrapEndMm[k] = known[at + 5];
    widthFactor[k] = known[at + 6];
    heightFactor[k] = known[at + 7];
  }
}

/** A band, and what it takes to lay it out by itself. */
export interface BandKinds {
  readonly kindOf: Uint32Array;
  /** Numbers of the band's own kinds. */
  readonly known: Float32Array;
  readonly perXMm: Float64Array;
  /** Of its rows, with the one after the last where the cloth goes on. */
  readonly perYMm: Float64Array;
}

export function bandKinds({ known, perXMm, perYMm }: KindFields, { from, to, kindOf, globalOf }: KindBand): BandKinds {
  const own = new Float32Array(KIND_NUMBERS * globalOf.length);
  globalOf.forEach((kind, k) => {
    own.set(known.subarray(KIND_NUMBERS * kind, KIND_NUMBERS * (kind + 1)), KIND_NUMBERS * k);
  });
  return { kindOf, known: own, perXMm, perYMm: perYMm.slice(from, to + 1) };
}

/** The cloth's numbers of a row's kinds. */
function kindsOfRow(bands: readonly KindBand[], row: number, ends: number, out: Uint32Array): void {
  const { from, kindOf, globalOf } = bands[bands.findLastIndex((band) => band.from <= row)];
  for (let end = 0, k = (row - from) * ends; end < ends; end++, k++) out[end] = globalOf[kindOf[k]];
}

/** The whole cloth's fields. Pauses now and then. */
export function* layWhole({ bands, known, perXMm, perYMm }: KindFields): Generator<void, BothFields> {
  const rows = perYMm.length;
  const ends = perXMm.length;
  const into = { warp: emptyField(rows * ends), weft: emptyField(rows * ends) };
  const kinds = new Uint32Array(ends);
  yield* inBands(rows, ends, (from, to) => {
    for (let row = from; row < to; row++) {
      kindsOfRow(bands, row, ends, kinds);
      layRow(into, row * ends, known, kinds, 0, perYMm[row], perXMm);
    }
  });
  return into;
}

/** Places at which a cloth is looked at for its readings: a preview measures the crossings of some 13 rows of 3 000 ends. */
const LOOKS = 16;
/** Rows held before such a place and after it. */
const BEFORE = 2;
const AFTER = 3;

/** Fields of some rows alone, and of all rows' first and last crossings; see `HeldRows`. Pauses now and then. */
export function* laySome({
  bands,
  known,
  perXMm,
  perYMm,
}: KindFields): Generator<void, BothFields & { readonly held: HeldRows }> {
  const rows = perYMm.length;
  const ends = perXMm.length;
  const room = rows - 1 - BEFORE - AFTER;
  const looks = Uint32Array.from({ length: Math.min(LOOKS, Math.max(1, room)) }, (_, k) =>
    Math.min(rows - 2, BEFORE + Math.floor(((k + ((k * GOLDEN) % 1)) / LOOKS) * room)),
  );
  const place = new Int32Array(rows).fill(-1);
  let count = 0;
  const hold = (row: number) => {
    if (row >= 0 && row < rows && place[row] < 0) place[row] = count++;
  };
  hold(0);
  hold(rows - 1);
  for (const look of looks) for (let row = look - BEFORE; row <= look + AFTER; row++) hold(row);
  const size = count * ends + 2 * rows;
  const into = { warp: emptyField(size), weft: emptyField(size) };
  const kinds = new Uint32Array(ends);
  for (let row = 0; row < rows; row++) {
    if (place[row] < 0) continue;
    kindsOfRow(bands, row, ends, kinds);
    layRow(into, place[row] * ends, known, kinds, 0, perYMm[row], perXMm);
    if (place[row] % 8 === 7) yield;
  }
  const perEdgeMm = Float64Array.of(perXMm[0], perXMm[ends - 1]);
  const atEdges = new Uint32Array(2);
  for (const { from, to, kindOf, globalOf } of bands) {
    for (let row = from; row < to; row++) {
      const k = (row - from) * ends;
      atEdges[0] = globalOf[kindOf[k]];
      atEdges[1] = globalOf[kindOf[k + ends - 1]];
      layRow(into, count * ends + 2 * row, known, atEdges, 0, perYMm[row], perEdgeMm);
    }
  }
  return { ...into, held: { place, looks } };
}
