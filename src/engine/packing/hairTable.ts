import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import type { HairForm, YarnHair } from '#engine/yarn/hair.ts';
import { LOOP_RISE_OVER_CHORD } from '#engine/yarn/hairLoops.ts';
import { MAX_HAIR_LAYERS, MOST_HAIR_SECTORS, RIDGE_DEPTH } from './clothBufferLayout.ts';
import { layArc } from './hairArc.ts';
import { latticeOfWinds, layWind } from './hairWinds.ts';

/** A texel each for root, control point and tip of a hair's quadratic Bézier curve. */
export const HAIR_POINTS = 3;
/** Kinds of hair of one yarn, over all its lattices; which of its lattice's a cell holds is told by a hash. */
const HAIRS = 256;
/** Lattices at least, turned and shifted against one another, so that no row of cells shows. */
const LEAST_LAYERS = 2;
/** A lattice's cells over a hair's mean run, along the yarn and around it: most hairs fit without being cut. */
const CELL_RUNS = 1.6;
/** Along the yarn, of hair that sweeps along it: its lengths fall off exponentially, and one in twenty is cut (e^−3). */
const SWEPT_RUNS = 3;
/** Of pile, which stands upright and alike: finer cells, so that fewer lattices hold it. */
const PILE_RUNS = 1.1;
/** Shortest cell, mm; and over the hair's own width. */
const LEAST_CELL_MM = 0.08;
const LEAST_WIDTHS = 2;
const LEAST_SECTORS = 4;
/** Of its cell, what a hair may run along the yarn and around it. */
const MOST_RUN = 0.95;
/** Steepest lean, rad: no hair lies in the surface. */
const STEEPEST_LEAN = 1.5;
/** A long fibre's crimp turns back within so much of it (wool has three to six crimps to the cm, from memory). */
const CRIMP_MM = 3;
/** Hairs begin this far within the body, over its radius, so that no gap shows at the root. */
const SUNK = 0.05;
/** No loop begins deeper in its body than this, over its radius. */
const MOST_SUNK = 0.8;

/** Lattices of a yarn's hair: cells are a length of yarn by a sector of its section, and hold one hair or none. */
export interface HairLattice {
  readonly cellMm: number;
  readonly sectors: number;
  readonly layers: number;
  /** Share of cells that hold a hair. */
  readonly presence: number;
}

/** How far round its feet, or root and tip, a hair reaches along the surface, on average. */
function meanRunMm(hair: YarnHair, radiusMm: number): number {
  if (hair.form !== 'loop') return hair.meanLengthMm * Math.sin(hair.leanMeanRad);
  const chord = chordOf(hair.meanLengthMm, LOOP_RISE_OVER_CHORD);
  return chord * widerBelow(LOOP_RISE_OVER_CHORD * chord, sunkMm(hair, radiusMm));
}

/** How deep a loop's strand comes from and goes back to: wholly within the body, so that no cut end shows. */
function sunkMm({ diameterMm }: YarnHair, radiusMm: number): number {
  return Math.min(diameterMm / 2 + SUNK * radiusMm, MOST_SUNK * radiusMm);
}

/** A parabola that rises so high over the surface is this much wider so deep below it. */
function widerBelow(riseMm: number, depthMm: number): number {
  return Math.sqrt(1 + depthMm / Math.max(riseMm, 1e-6));
}

/** Foot's width of a parabolic arch of a length, by its rise over that: arc² ≈ chord² + 16/3 rise² (within 4 % to 1.3). */
function chordOf(lengthMm: number, riseOverChord: number): number {
  return lengthMm / Math.sqrt(1 + (16 / 3) * riseOverChord * riseOverChord);
}

/**
 * Cells and lattices that hold a yarn's hairs; where they are more than the lattices can hold, cells are shorter.
 * @param radiusMm of the body that the hair stands on
 */
export function latticeOf(hair: YarnHair, radiusMm: number): HairLattice {
  if (hair.form === 'loop' && hair.windsPerMm) return latticeOfWinds(hair, hair.windsPerMm);
  const run = meanRunMm(hair, radiusMm);
  const runs = hair.evenness > 0.5 && hair.form === 'hair' ? PILE_RUNS : CELL_RUNS;
  const along = hair.sweepRad === undefined ? runs : SWEPT_RUNS;
  const angle = (runs * run + hair.diameterMm) / (radiusMm + 0.5 * hair.meanLengthMm * Math.cos(hair.leanMeanRad));
  const sectors = sectorsOf(hair.form, (2 * Math.PI) / angle);
  // Where ridges crowd most, every cell is full; a few hairs that find no room are left out there. Of what stands on one side more,
  // none is.
  const crowded = hair.ridgesPerMm ? 1 + 0.5 * RIDGE_DEPTH : 1 + Math.abs(hair.onFace ?? 0);
  const most = (MAX_HAIR_LAYERS * sectors) / (hair.perMm * crowded);
  const own = hair.form === 'loop' ? 2 * hair.diameterMm : 0;
  const fits = Math.max(LEAST_CELL_MM, LEAST_WIDTHS * hair.diameterMm, along * run + own);
  const cellMm = Math.min(most, Math.max(fits, ((LEAST_LAYERS - 0.5) * sectors) / (hair.perMm * crowded)));
  const wanted = (hair.perMm * cellMm) / sectors;
  const layers = Math.min(MAX_HAIR_LAYERS, Math.ceil(wanted * crowded - 1e-9));
  return { cellMm, sectors, layers, presence: layers > 0 ? wanted / layers : 0 };
}

function sectorsOf(form: HairForm, fit: number): number {
  // Loops are thick beside their cells; edges are two.
  if (form !== 'hair') return 2;
  return Math.min(MOST_HAIR_SECTORS, Math.max(LEAST_SECTORS, Math.floor(fit)));
}

export function hairsPerLayer(lattice: HairLattice): number {
  return Math.floor(HAIRS / Math.max(1, lattice.layers));
}

const words = new Uint32Array(3);

/** Evenly spread numbers of a hair, 0..1, each by its own word. */
function unit(hair: number, word: number): number {
  return unitFromHash(hash3(words, hair, word, 0x3c6ef372)[0]);
}

/**
 * The yarn's hairs as its cells hold them, lattice by lattice, the highest first: three texels each,
 *   place along the cell mm, height above the body's surface mm, cosine and sine of the angle from the sector's first side
 * for root, control point and tip; the root's height is known (a little below the surface, of a loop as deep as its tip), and
 * its texel holds the hair's greatest instead. Its cosine and
 * sine are times the hair's thickness over the mean: where a root lies is told by their ratio.
 * @param radiusMm of the body that the hair stands on
 * @param heightMm most that it may stand off it
 */
export function layHairs(hair: YarnHair, lattice: HairLattice, radiusMm: number, heightMm: number): Float32Array {
  const count = lattice.layers * hairsPerLayer(lattice);
  const hairs = Array.from({ length: count }, (_, k) =>
    layHair(hair, lattice, radiusMm, heightMm, k, (k + 0.5) / count),
  );
  hairs.sort((a, b) => b[1] - a[1]);
  const table = new Float32Array(count * HAIR_POINTS * 4);
  for (const [k, each] of hairs.entries()) table.set(each, k * HAIR_POINTS * 4);
  return table;
}

/** How far a hair goes along the yarn and around it, and how high its control point and its tip stand over the surface. */
interface Reach {
  along: number;
  around: number;
  bend: number;
  tip: number;
  /** Where the control point lies between root and tip, and how far it leans aside, rad. */
  share: number;
  aside: number;
  /** How far the control point lies aside along the yarn, mm. */
  askew?: number;
}

/** How far from its sector's sides a hair keeps, rad: walks from cell to cell meet the whole of it then. */
function insetOf(radius: number, radiusMm: number, sector: number): number {
  return Math.min(0.25 * sector, radius / radiusMm);
}

function layHair(
  hair: YarnHair,
  lattice: HairLattice,
  radiusMm: number,
  heightMm: number,
  k: number,
  u: number,
): number[] {
  if (hair.windsPerMm) return layWind(hair, hair.windsPerMm, radiusMm, heightMm);
  const length = lengthOf(hair, u, unit(k, 0));
  const radius = hair.diameterMm / 2;
  const sector = (2 * Math.PI) / lattice.sectors;
  const inset = insetOf(radius, radiusMm, sector);
  const insetMm = Math.min(0.25 * lattice.cellMm, radius);
  const wide = lattice.cellMm - 2 * insetMm;
  const open = sector - 2 * inset;
  const thick = 1 + (hair.unevenness ?? 0) * (2 * unit(k, 8) - 1);
  if (hair.curvaturePerMm) {
    const room = { alongMm: wide, aroundRad: open, radiusMm, restMm: radius, heightMm };
    const points = layArc(hair, hair.curvaturePerMm * 2 * unit(k, 9), length, room, (word) => unit(k, word));
    const rise = Math.max(points[1][1], points[2][1]);
    return points.flatMap(([along, height, phi], point) => {
      const [high, wide] = point === 0 ? [rise, thick] : [height, 1];
      return [insetMm + along, high, wide * Math.cos(inset + phi), wide * Math.sin(inset + phi)];
    });
  }
  const reach =
    hair.form === 'loop'
      ? loopReach(hair, length, radiusMm, heightMm, k)
      : hairReach(hair, length, radiusMm, heightMm, k);
  // What is longer than its cell is drawn as a piece that keeps its way: cut along and around each for itself, long hair of
  // short cells would all run across.
  const fits = Math.min(1, (MOST_RUN * wide) / Math.abs(reach.along), (MOST_RUN * open) / Math.abs(reach.around));
  const along = fits * reach.along;
  const around = fits * reach.around;
  const s0 = insetMm + Math.max(0, -along) + unit(k, 4) * (wide - Math.abs(along));
  // Threads of an edge leave it where it is; others stand anywhere in their sector.
  const edge = hair.form === 'edge';
  const phi0 = edge ? sector / 2 - around / 2 : inset + Math.max(0, -around) + unit(k, 5) * (open - Math.abs(around));
  const phi1 = within(phi0 + reach.share * around + fits * reach.aside - sector / 2, open / 2) + sector / 2;
  const middle = lattice.cellMm / 2;
  const bent = middle + within(s0 + reach.share * along + fits * (reach.askew ?? 0) - middle, wide / 2);
  const rise = Math.max(reach.tip, hair.form === 'loop' ? (reach.bend + reach.tip) / 2 : reach.bend);
  return [
    ...[s0, rise, thick * Math.cos(phi0), thick * Math.sin(phi0)],
    ...[bent, reach.bend, Math.cos(phi1), Math.sin(phi1)],
    ...[s0 + along, reach.tip, Math.cos(phi0 + around), Math.sin(phi0 + around)],
  ];
}

function hairReach(hair: YarnHair, length: number, radiusMm: number, heightMm: number, k: number): Reach {
  const lean = Math.min(STEEPEST_LEAN, 2 * hair.leanMeanRad * unit(k, 1));
  const stands = Math.min(length * Math.cos(lean), heightMm);
  const run = Math.sqrt(Math.max(0, length * length - stands * stands));
  const way = wayOf(hair, k);
  // Twice as far as the curve's own middle.
  const bow = 2 * (hair.curl ?? 0) * Math.min(run, CRIMP_MM) * (2 * unit(k, 9) - 1);
  const round = hair.form === 'edge' ? 0.5 * Math.sin(way) : (run * Math.sin(way)) / (radiusMm + 0.5 * stands);
  return {
    along: run * Math.cos(way),
    around: round,
    // It rises first and leans over then.
    bend: stands * (0.55 + 0.4 * unit(k, 6)),
    tip: stands,
    share: 0.2 + 0.3 * unit(k, 7),
    aside: (-bow * Math.cos(way)) / (radiusMm + 0.5 * stands),
    askew: bow * Math.sin(way),
  };
}

/** Which way a hair leans: 0 along the yarn, a quarter turn around it. */
function wayOf({ sweepRad }: YarnHair, k: number): number {
  if (sweepRad === undefined) return 2 * Math.PI * unit(k, 2);
  return sweepRad * (2 * unit(k, 2) - 1) + (unit(k, 3) < 0.5 ? Math.PI : 0);
}

function loopReach(hair: YarnHair, length: number, radiusMm: number, heightMm: number, k: number): Reach {
  const ratio = LOOP_RISE_OVER_CHORD * (0.5 + unit(k, 1));
  const chord = chordOf(length, ratio);
  const rise = Math.min(ratio * chord, heightMm);
  // The strand goes on along the yarn, so its loops mostly stand along it too.
  const way = 1.6 * (unit(k, 2) - 0.5) + (unit(k, 3) < 0.5 ? Math.PI : 0);
  const lean = 2 * hair.leanMeanRad * (2 * unit(k, 6) - 1);
  const sunk = sunkMm(hair, radiusMm);
  const foot = chord * widerBelow(rise, sunk);
  return {
    along: foot * Math.cos(way),
    around: (foot * Math.sin(way)) / radiusMm,
    bend: 2 * rise * Math.cos(lean) + sunk,
    tip: -sunk,
    share: 0.5,
    aside: (rise * Math.sin(lean)) / (radiusMm + rise),
  };
}

/** Of hairs that fall off exponentially, cut off at the longest, the length that a share u are shorter than; of even ones, by v. */
function lengthOf({ meanLengthMm, longestMm, evenness }: YarnHair, u: number, v: number): number {
  const cut = 1 - Math.exp(-longestMm / meanLengthMm);
  const falling = Math.min(longestMm, -meanLengthMm * Math.log(1 - u * cut));
  return (1 - evenness) * falling + evenness * meanLengthMm * (0.8 + 0.4 * v);
}

function within(value: number, most: number): number {
  return Math.min(most, Math.max(-most, value));
}
