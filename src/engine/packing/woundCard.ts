import type { ClothGeometry, ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { levelField } from '#engine/cloth/curve.ts';
import { createDrawdown } from '#engine/draft/drawdown.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type Hairiness, type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { packInSteps } from './packCloth.ts';
import type { PackedCloth } from './packedCloth.ts';
import { CARD_MARGIN } from './woundCardScale.ts';
import { yarnMaterial } from './yarnMaterial.ts';

/** Places along a turn where its height is held; the card behind it is as many level strips, each a step of its arc. */
const STATIONS = 33;
/** How far the picture's edge lies over the padded card's curve: far enough that every lustre finds its mirror angle. */
const EDGE_TILT_RAD = (38 * Math.PI) / 180;
/** Turns and card go on beyond the picture's edge by this share of its half width. */
const BEYOND = 1.06;
/** Strips are wound a little over one another, so that no card shows between their edges. */
const STRIP_PITCH = 0.97;
/** Film is drawn as thick as a few layers of it: between thinner edges a ray could slip through. */
const LEAST_THICKNESS_MM = 0.06;
const CARD_THICKNESS_MM = 0.4;
/** The strips of card behind the turns lap by this share, so that no ray slips between two. */
const BEHIND_LAP = 1.1;

/** Grey board, of the reflectance 0.3 of a mid grey on the L* scale. */
const CARD: YarnRecord = {
  format: 'forecloth-yarn',
  version: 1,
  id: 'card',
  name: 'Grey card',
  fibre: 'paper',
  tex: 1000,
  plies: 1,
  shape: 'strip',
  stripWidthMm: 5,
  gaugeMm: CARD_THICKNESS_MM,
  packingFraction: 0.5,
  fibreDensityGPerCm3: 1.5,
  bendingNmm2: [1, 10],
  compressibility: 'none',
  coneColour: '#959595',
  lustre: 'matte',
};

/** What is known by what stands off it. A few stray fibres show no more than noise in a picture as small as a card's. */
const SHOWN_BY_HAIR: ReadonlySet<Hairiness> = new Set(['halo', 'pile', 'loops']);

/** A card as wound: what is solved for a cloth is given here. */
export interface WoundCard {
  readonly problem: ClothProblem;
  readonly geometry: ClothGeometry;
  readonly turns: number;
}

/**
 * One yarn wound closely over a padded grey card: touching turns across the card, each an arc of a circle that leans by
 * 38° where the picture ends, so that a lustrous yarn shows where it mirrors the light. The first and last row are the
 * card itself, and so are the ends: they lie behind the turns and show between bristles. The middle of the picture is at the
 * origin, in the axes of a cloth.
 * @param sideMm of the square that is looked at, in the yarn's own measure
 */
export function woundCard(yarn: YarnBody, sideMm: number): WoundCard {
  const half = sideMm / 2;
  const turnMm = yarn.bodyWidthMm * (yarn.shape === 'strip' ? STRIP_PITCH : 1);
  const turns = Math.max(1, Math.floor((sideMm * (1 - 2 * CARD_MARGIN)) / turnMm));
  const thickMm = Math.max(yarn.bodyHeightMm, Math.min(LEAST_THICKNESS_MM, 0.15 * yarn.bodyWidthMm));
  const blockHalf = (turns * turnMm) / 2;
  const marginMm = Math.max(half * BEYOND - blockHalf, half * CARD_MARGIN);
  const rows = turns + 2;
  const isCard = (row: number): boolean => row === 0 || row === rows - 1;

  const stepMm = (2 * half * BEYOND) / (STATIONS - 1);
  // A level strip's outer edge stands off the arc by half a step's rise: the card lies that much lower.
  const lowerMm = 0.5 * stepMm * Math.tan(EDGE_TILT_RAD);
  const yarns: readonly YarnBody[] = [
    yarn,
    { ...bodyOfCard('card'), ...flatSection(marginMm, CARD_THICKNESS_MM) },
    { ...bodyOfCard('behind'), ...flatSection(BEHIND_LAP * stepMm, CARD_THICKNESS_MM) },
  ];
  const endX = Float64Array.from({ length: STATIONS }, (_, end) => half * BEYOND * ((2 * end) / (STATIONS - 1) - 1));
  const rowY = Float64Array.from({ length: rows }, (_, row) => {
    if (row === 0) return -blockHalf - marginMm / 2;
    if (row === rows - 1) return blockHalf + marginMm / 2;
    return -blockHalf + (row - 0.5) * turnMm;
  });

  const count = rows * STATIONS;
  const warp = levelField(count);
  const weft = levelField(count);
  const radius = half / Math.sin(EDGE_TILT_RAD);
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < STATIONS; end++) {
      const k = row * STATIONS + end;
      const x = endX[end];
      const arcMm = Math.sqrt(radius * radius - x * x) - radius;
      // The card's upper side is what the turns lie on.
      weft.heightMm[k] = arcMm - (isCard(row) ? (thickMm + CARD_THICKNESS_MM) / 2 : 0);
      weft.slope[k] = -x / Math.sqrt(radius * radius - x * x);
      warp.heightMm[k] = arcMm - thickMm / 2 - CARD_THICKNESS_MM - lowerMm;
      if (isCard(row)) continue;
      weft.widthFactor[k] = yarn.bodyWidthMm / yarn.contactWidthMm;
      weft.heightFactor[k] = thickMm / yarn.contactHeightMm;
    }
  }
  const problem: ClothProblem = {
    rows,
    ends: STATIONS,
    drawdown: createDrawdown(rows, STATIONS),
    yarns,
    endYarn: new Uint16Array(STATIONS).fill(2),
    rowYarn: Uint16Array.from({ length: rows }, (_, row) => (isCard(row) ? 1 : 0)),
    rowPick: Uint32Array.from({ length: rows }, (_, row) => row),
    rowFirst: new Uint32Array(rows),
    rowLast: new Uint32Array(rows).fill(STATIONS - 1),
    rowEntersRight: new Uint8Array(rows),
    rowEnd: new Uint8Array(rows),
    rowTailMm: new Float32Array(rows),
    endXMm: endX,
    endTensionN: new Float64Array(STATIONS),
    rowTensionN: new Float64Array(rows),
    beat: { firmness: new Float64Array(rows), scatterShare: 0, seed: 0 },
  };
  const geometry: ClothGeometry = {
    rows,
    ends: STATIONS,
    periodRows: rows,
    periodEnds: STATIONS,
    endXMm: Float32Array.from(endX),
    rowYMm: Float32Array.from(rowY),
    warp,
    weft,
    residuals: { iterations: 0, penetration: 0, forceImbalance: 0, complementarity: 0, converged: true },
  };
  return { problem, geometry, turns };
}

/**
 * A card of a yarn, ready for the picture; as `woundCard`.
 * @throws RangeError where the record's facts cannot be a yarn
 */
export function* packWoundCard(record: YarnRecord, sideMm: number): Generator<Progress, PackedCloth> {
  const { problem, geometry } = woundCard(yarnBody(yarnFactsOf(record)), sideMm);
  const card = yarnMaterial([CARD]);
  const { hair, ...bare } = yarnMaterial([record]);
  const yarn = hair && SHOWN_BY_HAIR.has(record.hairiness ?? 'none') ? { ...bare, hair } : bare;
  return yield* packInSteps(problem, geometry, [yarn, card, card]);
}

function bodyOfCard(id: string): YarnBody {
  return { ...yarnBody(yarnFactsOf(CARD)), id };
}

function flatSection(widthMm: number, heightMm: number) {
  return {
    freeWidthMm: widthMm,
    bodyWidthMm: widthMm,
    bodyHeightMm: heightMm,
    contactWidthMm: widthMm,
    contactHeightMm: heightMm,
  };
}
