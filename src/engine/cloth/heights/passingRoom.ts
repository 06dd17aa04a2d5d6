import { edgesBeside, reachAt, SAMPLES, type SectionProfiles } from './sectionSum.ts';
import { riseToClear, type WrapNode } from './wrapSegment.ts';

/** Share of the widest way in which a thread still passes that the sections beside it leave it: it does not fit to the last. */
const FITS = 0.97;

/** Sections that give way to the thread of a segment which dives between them. */
export interface PassedSections {
  readonly sections: SectionProfiles;
  readonly halfHeightMm: Float64Array;
  /** 1 where fibres give to the side: spun yarns, not film or wire; all stay as they are where left out. */
  readonly yields: Uint8Array | undefined;
}

const fromEdges = new Float64Array(SAMPLES);
const toEdges = new Float64Array(SAMPLES);

/**
 * Presses the sides of both sections of a segment in as far as the thread that dives between them needs: each to half of the
 * distance, or to as wide as it is high where that is more; and beyond the jam of that (F. T. Peirce 1937: (p/2)² over reach²
 * and the crossed threads' rise over the sum of heights squared make 1) it gives further or moves aside, until a way is left.
 * A thick one beside a thin one keeps no more than half either: soft rolls give there, and a segment cannot be drawn so
 * steep so near its end (split by their reaches, loose fibre among cotton lost 28 % of its length in the wash, not 6). Sets
 * the nodes' edges.
 * @param own, ownHalfMm the thread that dives: its index and half height
 * @param a, b the sections' indices, and how far each lies past its node along the segment, mm
 */
export function pressSides(
  { sections, halfHeightMm, yields }: PassedSections,
  own: number,
  ownHalfMm: number,
  pitchMm: number,
  from: WrapNode,
  to: WrapNode,
  a: number,
  b: number,
  movedAMm: number,
  movedBMm: number,
): void {
  if (!yields || from.side * to.side >= 0) return;
  const half = (pitchMm - movedAMm + movedBMm) / 2;
  if (half <= 0) return;
  // The crossed threads' rise helps where the thread passes over the lower one; the other way round there is the less room.
  const rise = Math.max(0, from.side * (to.centre - from.centre)) / 2;
  const sum = (riseToClear(from) + riseToClear(to)) / 2;
  const passable = sum > rise ? (FITS * half) / Math.sqrt(1 - (rise / sum) ** 2) : Number.POSITIVE_INFINITY;
  const reachOf = (section: number) => {
    const contact = halfHeightMm[section] + ownHalfMm;
    return Math.max(ownHalfMm, Math.min(passable, Math.max(contact, half)));
  };
  const [reachA, reachB] = [reachOf(a), reachOf(b)];
  if (yields[a] && reachA < reachAt(sections, a, own))
    from.edges = edgesBeside(sections, a, own, pitchMm, movedAMm, fromEdges, reachA);
  if (yields[b] && reachB < reachAt(sections, b, own))
    to.edges = edgesBeside(sections, b, own, pitchMm, -movedBMm, toEdges, reachB);
}
