import type { Progress } from '#engine/cloth/clothTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { crossingArea } from './cells.ts';
import type { FarCloth } from './farTypes.ts';
import { hiddenThreads } from './grinHidden.ts';
import { type CellView, lookAtClass } from './grinRays.ts';

/**
 * Grin-through: where a cloth shows yarn that its draft hides there. The crossings of one repeat (of the whole cloth where
 * nothing repeats), in blocks from the first pick and the leftmost end seen from the face.
 */
export interface GrinTable {
  /** Crossings that the blocks cover; the last block of a line or column may be smaller. */
  readonly lines: number;
  readonly ends: number;
  readonly linesPerBlock: number;
  readonly endsPerBlock: number;
  readonly blocksUp: number;
  readonly blocksAcross: number;
  /**
   * By direction (`grinDirection`), then block: area, mm², over which threads show that the draft hides where they show,
   * and over which any thread shows. A place is where the line of sight meets the cloth's mid-plane.
   */
  readonly hidden: Float32Array;
  readonly shown: Float32Array;
}

/** Inclinations looked from, degrees from square-on. */
export const GRIN_DEGREES = [0, 25, 45, 60] as const;
/** Azimuths are multiples of 360° / GRIN_AZIMUTHS, so that views across the threads are among them. */
export const GRIN_AZIMUTHS = 8;
const GRIN_DIRECTIONS = GRIN_DEGREES.length * GRIN_AZIMUTHS;

/** Number of a direction in the tables. @param side 0 face, 1 back */
export function grinDirection(side: number, ring: number, azimuth: number): number {
  return (side * GRIN_DEGREES.length + ring) * GRIN_AZIMUTHS + (azimuth % GRIN_AZIMUTHS);
}

/** Most blocks a side: a map of a few hundred pixels shows no more. */
const MOST_BLOCKS = 48;
/** A block of this many crossings a side holds a repeat of the plainest weaves. */
const LEAST_BLOCK = 4;
/** Of fewer crossings each is shown for itself. */
const FEW_CROSSINGS = 16;

/** Rays a direction, dealt to classes by their share: shares of the whole come out to about 0.01. */
const RAYS = 1200;
/** Of any class, however rare: enough to tell a fifth from none. */
const LEAST_RAYS = 12;

function blockSide(count: number): number {
  return count < FEW_CROSSINGS ? 1 : Math.max(LEAST_BLOCK, Math.ceil(count / MOST_BLOCKS));
}

/**
 * The table of a packed cloth, by rays towards crossings of each class: bounded by the count of classes and of blocks.
 * @param drawdown of the cloth's rows and ends
 * @param far what the cloth's crossings are sorted into
 */
export function* grinInSteps(cloth: PackedCloth, drawdown: Drawdown, far: FarCloth): Generator<Progress, GrinTable> {
  const walker = new ClothWalker(cloth);
  const hiding = hiddenThreads(walker.reader, drawdown, far.lines, far.ends);
  let known = hiding.next();
  for (; !known.done; known = hiding.next()) yield { stage: 'packing', share: 0.2 };
  const hides = known.value;
  const dividing = blocksOf(walker, far);
  let divided = dividing.next();
  for (; !divided.done; divided = dividing.next()) yield { stage: 'packing', share: 0.2 };
  const blocks = divided.value;
  const count = blocks.blocksUp * blocks.blocksAcross;
  const hidden = new Float32Array(2 * GRIN_DIRECTIONS * count);
  const shown = new Float32Array(2 * GRIN_DIRECTIONS * count);
  const seen: CellView = { hidden: 0, shown: 0, looked: 0 };
  for (const side of [0, 1]) {
    for (let ring = 0; ring < GRIN_DEGREES.length; ring++) {
      for (let azimuth = 0; azimuth < GRIN_AZIMUTHS; azimuth++) {
        const from = grinDirection(side, ring, azimuth) * count;
        if (ring === 0 && azimuth > 0) {
          hidden.copyWithin(from, from - count, from);
          shown.copyWithin(from, from - count, from);
          continue;
        }
        const view = viewOf(ring, azimuth, side === 0 ? 1 : -1);
        for (let index = 0; index < far.classes; index++) {
          const rays = Math.max(LEAST_RAYS, Math.round(RAYS * far.share[index]));
          lookAtClass(seen, walker, far, index, rays, view, side === 0 ? hides.face : hides.back);
          for (const { block, areaMm2 } of blocks.ofClass[index]) {
            hidden[from + block] += areaMm2 * seen.hidden;
            shown[from + block] += areaMm2 * seen.shown;
          }
        }
        yield { stage: 'packing', share: 0.2 + 0.8 * (from / hidden.length) };
      }
    }
  }
  const { lines, ends } = far;
  const { linesPerBlock, endsPerBlock, blocksUp, blocksAcross } = blocks;
  return { lines, ends, linesPerBlock, endsPerBlock, blocksUp, blocksAcross, hidden, shown };
}

interface Blocks {
  readonly linesPerBlock: number;
  readonly endsPerBlock: number;
  readonly blocksUp: number;
  readonly blocksAcross: number;
  /** By class: the area that its crossings take of each block that holds some. */
  readonly ofClass: readonly { readonly block: number; areaMm2: number }[][];
}

/** Pauses after each line of blocks. */
function* blocksOf({ reader }: ClothWalker, { lines, ends, classOf, classes }: FarCloth): Generator<void, Blocks> {
  const linesPerBlock = blockSide(lines);
  const endsPerBlock = blockSide(ends);
  const blocksAcross = Math.ceil(ends / endsPerBlock);
  const blocksUp = Math.ceil(lines / linesPerBlock);
  const ofClass: { block: number; areaMm2: number }[][] = Array.from({ length: classes }, () => []);
  for (let block = 0; block < blocksUp * blocksAcross; block++) {
    const line0 = Math.floor(block / blocksAcross) * linesPerBlock;
    const end0 = (block % blocksAcross) * endsPerBlock;
    if (end0 === 0) yield;
    for (let line = line0; line < Math.min(line0 + linesPerBlock, lines); line++) {
      for (let end = end0; end < Math.min(end0 + endsPerBlock, ends); end++) {
        const list = ofClass[classOf[line * ends + end]];
        let last = list[list.length - 1];
        if (last?.block !== block) {
          last = { block, areaMm2: 0 };
          list.push(last);
        }
        last.areaMm2 += crossingArea(reader, line, end);
      }
    }
  }
  return { linesPerBlock, endsPerBlock, blocksUp, blocksAcross, ofClass };
}

function viewOf(ring: number, azimuth: number, side: 1 | -1): readonly [number, number, number] {
  const inclination = (GRIN_DEGREES[ring] * Math.PI) / 180;
  const angle = (azimuth * 2 * Math.PI) / GRIN_AZIMUTHS;
  const level = Math.sin(inclination);
  return [level * Math.cos(angle), level * Math.sin(angle), side * Math.cos(inclination)];
}
