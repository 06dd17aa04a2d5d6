import type { Progress } from '#engine/cloth/clothTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { createTable } from '#engine/packing/packTables.ts';
import { ClothReader } from '#engine/packing/walk/clothReader.ts';
import { evenX, evenY, GOLDEN } from '#engine/units/evenPlaces.ts';
import { crossingCell } from './cells.ts';
import { type CrossingClasses, classifyCrossings } from './classes.ts';
import { type FarCloth, PLACE_TEXELS, PLACES } from './farTypes.ts';

const LINES_PER_PAUSE = 64;

/** `farInSteps` in one go. */
export function buildFar(cloth: PackedCloth): FarCloth {
  const steps = farInSteps(cloth);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** Sorts a packed cloth's crossings and picks the cells that each class is looked at in. */
export function* farInSteps(cloth: PackedCloth): Generator<Progress, FarCloth> {
  const reader = new ClothReader(cloth);
  const sorting = classifyCrossings(reader);
  let sorted = sorting.next();
  for (; !sorted.done; sorted = sorting.next()) yield { stage: 'packing', share: 0.8 * sorted.value };
  const classes = sorted.value;
  const { lines, ends, classOf, count } = classes;
  const within = (at: number, period: number, all: number) => period < all || (at >= BORDER && at < all - BORDER);
  const isInner = (line: number, end: number) => within(line, lines, cloth.lines) && within(end, ends, cloth.ends);
  const members = yield* drawMembers(classes, isInner);
  const placeTable = createTable(count * PLACES * PLACE_TEXELS, 'places of the kinds of crossings');
  const share = new Float32Array(count);
  for (let index = 0; index < count; index++) {
    const { size, kept } = members[index];
    share[index] = size / (lines * ends);
    for (let k = 0; k < PLACES; k++) {
      const at = kept[k % kept.length];
      const texel = (index * PLACES + k) * PLACE_TEXELS * 4;
      const line = repeatFor(evenX(k), cloth.lines, lines) + Math.floor(at / ends);
      const end = repeatFor(evenY(k), cloth.ends, ends) + (at % ends);
      crossingCell(placeTable, texel, reader, line, end);
      placeTable[texel + 4] = reader.endX(end);
      placeTable[texel + 5] = reader.lineY(line);
    }
  }
  return { lines, ends, classOf, classes: count, share, placeTable };
}

/** Threads from the cloth's border within which a low line of sight may look past it. */
const BORDER = 8;

/**
 * First thread of the repeat that lies at a share of the cloth, 0 to 1: repeats are alike but for what differs from thread to thread (hair,
 * fibres, a net's layers), so places are spread over them, away from the border.
 */
function repeatFor(share: number, all: number, period: number): number {
  const first = Math.ceil(BORDER / period);
  const count = Math.floor((all - BORDER) / period) - first;
  if (count < 1) return Math.max(0, Math.floor((all / period - 1) / 2)) * period;
  return (first + Math.floor(share * count)) * period;
}

interface Members {
  size: number;
  /** Of them, away from the border. */
  inner: number;
  /** Up to PLACES crossings, evenly drawn from those away from the border where there are any: line * ends + end. */
  readonly kept: number[];
}

/** Each crossing stays with the same chance (reservoir sampling, Vitter 1985, algorithm R), by a fixed sequence. */
function* drawMembers(
  { lines, ends, classOf, count }: CrossingClasses,
  isInner: (line: number, end: number) => boolean,
): Generator<Progress, Members[]> {
  const members: Members[] = Array.from({ length: count }, () => ({ size: 0, inner: 0, kept: [] }));
  for (let line = 0; line < lines; line++) {
    if (line % LINES_PER_PAUSE === 0) yield { stage: 'packing', share: 0.8 + (0.2 * line) / lines };
    for (let end = 0; end < ends; end++) {
      const at = line * ends + end;
      const of = members[classOf[at]];
      of.size++;
      const inner = isInner(line, end);
      if (inner && of.inner++ === 0) of.kept.length = 0;
      if (!inner && of.inner > 0) continue;
      if (of.kept.length < PLACES) of.kept.push(at);
      else {
        const place = Math.floor(((at * GOLDEN) % 1) * (inner ? of.inner : of.size));
        if (place < PLACES) of.kept[place] = at;
      }
    }
  }
  return members;
}
