import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { holdCells } from '#engine/cloth/heights/levelHold.ts';
import type { SolvedRegion } from './regionProblem.ts';

/** Threads along one way: from .. to − 1. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Part of an axis: the stretch that is solved, and how much each of its threads has to say, 0..1. */
export interface AxisPart extends Stretch {
  readonly weights: Float32Array;
  /** Threads for which nothing else has a say. */
  readonly alone: Stretch;
  /** Of the cells by which the cloth is held flat, those that it has. */
  readonly cells: number;
}

/** A part of the cloth that is solved by itself. */
export interface Tile {
  readonly rows: AxisPart;
  readonly ends: AxisPart;
}

/** Smaller cloths are solved whole. */
const LEAST_CROSSINGS = 30_000;
/** Threads either way that a tile speaks for: a quarter of the rows, a third of the ends, within these. */
const LEAST_SIDE = 96;
const MOST_SIDE = 256;
const ROWS_OF_TILES = 4;
const TILES_A_ROW = 3;
/** Threads beyond those, at least, where the tile's own reflected edge is felt. */
const LEAST_HALO = 20;
/** Either side of a cut, over which one tile hands over to the next. */
const BLEND = 8;

/** A place to cut, and the nodes of the hold (levelHold.ts) at which the tiles either side of it end. */
interface Cut {
  readonly at: number;
  /** First node of the tile after the cut, and last one of that before it. */
  readonly first: number;
  readonly last: number;
}

/** Threads nearest to the hold's nodes: tiles that begin and end there are held where the whole cloth is. */
function nodesOfHold(positionMm: ArrayLike<number>, count: number): number[] {
  const cells = holdCells(count);
  const nodes = [0];
  for (let node = 1, k = 0; node < cells; node++) {
    const place = positionMm[0] + (node / cells) * (positionMm[count - 1] - positionMm[0]);
    while (k + 1 < count && positionMm[k + 1] <= place) k++;
    nodes.push(place - positionMm[k] <= positionMm[Math.min(count - 1, k + 1)] - place ? k : k + 1);
  }
  return [...nodes, count - 1];
}

/** Cuts near even places: half way between two nodes, or at one where these are far apart. */
function evenCuts(count: number, side: number, nodes: readonly number[]): Cut[] {
  const parts = Math.max(1, Math.round(count / side));
  const cells = nodes.length - 1;
  const cuts: Cut[] = [];
  const between = count / cells < LEAST_HALO;
  for (let k = 1; k < parts; k++) {
    const near = (k * cells) / parts;
    const node = between ? Math.floor(near) : Math.round(near);
    const cut = between
      ? { at: (nodes[node] + nodes[node + 1] + 1) >> 1, first: node - 1, last: node + 2 }
      : { at: nodes[node], first: node - 1, last: node + 1 };
    if (cut.first > 0 && cut.last < cells && !(cut.at <= (cuts.at(-1)?.at ?? 0) + 2 * BLEND)) cuts.push(cut);
  }
  return cuts;
}

/** Share that what lies after a cut has in thread k: from 0 to 1 over the threads about it. */
function afterCut(cut: number, k: number): number {
  return Math.min(1, Math.max(0, (k + 0.5 - (cut - BLEND)) / (2 * BLEND)));
}

/** @param mayCut whether a thread may be parted from the one before it */
function axisParts(
  positionMm: ArrayLike<number>,
  count: number,
  side: number,
  mayCut: (at: number) => boolean,
): AxisPart[] {
  const nodes = nodesOfHold(positionMm, count);
  const cuts = evenCuts(count, side, nodes);
  return [undefined, ...cuts].map((before, number) => {
    const after: Cut | undefined = cuts[number];
    const [first, last] = [before?.first ?? 0, after?.last ?? nodes.length - 1];
    let [from, to] = [nodes[first], nodes[last] + 1];
    while (!mayCut(from)) from--;
    while (!mayCut(to)) to++;
    return {
      from,
      to,
      weights: Float32Array.from({ length: to - from }, (_, k) => {
        const begun = before ? afterCut(before.at, from + k) : 1;
        return begun * (after ? 1 - afterCut(after.at, from + k) : 1);
      }),
      alone: { from: before ? before.at + BLEND : 0, to: after ? after.at - BLEND : count },
      cells: last - first,
    };
  });
}

/**
 * Overlapping tiles by which a cloth without a repeat is solved, the same whoever solves them. Undefined where it is too small.
 * Rows that do not run right across, and rows side by side, stay in one piece.
 */
export function planTiles(problem: ClothProblem, region: SolvedRegion, rowYMm: Float64Array): Tile[] | undefined {
  const { rows, ends, endXMm, rowFirst, rowLast } = problem;
  if (region.boundary !== 'mirrored' || rows * ends < LEAST_CROSSINGS) return undefined;
  const side = (parts: number) => Math.min(MOST_SIDE, Math.max(LEAST_SIDE, Math.sqrt(rows * ends) / parts));
  const whole = rowFirst.every((first, row) => first === 0 && rowLast[row] === ends - 1);
  const betweenLines = (row: number) => row === 0 || row === rows || rowYMm[row] > rowYMm[row - 1];
  const ofRows = axisParts(rowYMm, rows, side(ROWS_OF_TILES), betweenLines);
  const ofEnds = axisParts(endXMm, ends, whole ? side(TILES_A_ROW) : ends, () => true);
  if (ofRows.length * ofEnds.length === 1) return undefined;
  return ofRows.flatMap((here) => ofEnds.map((across) => ({ rows: here, ends: across })));
}
