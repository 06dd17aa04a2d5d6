import type { Millimetres, Radians } from '#engine/units/units.ts';
import type { PlainWeave } from './peirce.ts';
import { risingRoot } from './peirce.ts';

/** Weave angle at which a thread of length l between crossings, bent round D, has crimp height h. */
function angleFromHeight(lengthMm: Millimetres, heightMm: Millimetres, dMm: Millimetres): Radians {
  // dh/dθ = (l − D θ) cos θ ≥ 0 up to the jam l = D θ or the upright thread, whichever comes first.
  const most = Math.min(lengthMm / dMm, Math.PI / 2);
  return risingRoot(
    (angle) => (lengthMm - dMm * angle) * Math.sin(angle) + dMm * (1 - Math.cos(angle)) - heightMm,
    0,
    most,
  );
}

function spacingFromAngle(lengthMm: Millimetres, angle: Radians, dMm: Millimetres): Millimetres {
  return (lengthMm - dMm * angle) * Math.cos(angle) + dMm * Math.sin(angle);
}

/** Greatest crimp height that a thread of given length can take: at the jam l = D θ, or upright. */
function greatestHeightOfLength(lengthMm: Millimetres, dMm: Millimetres): Millimetres {
  const angle = Math.min(lengthMm / dMm, Math.PI / 2);
  return Math.min(dMm, (lengthMm - dMm * angle) * Math.sin(angle) + dMm * (1 - Math.cos(angle)));
}

export interface PulledWeave {
  readonly h1Mm: Millimetres;
  readonly h2Mm: Millimetres;
  readonly theta1Rad: Radians;
  readonly theta2Rad: Radians;
  readonly p1Mm: Millimetres;
  readonly p2Mm: Millimetres;
  /** New length of the cloth over the old, less one; and the width lost, as a share. */
  readonly warpExtension: number;
  readonly widthContraction: number;
  /** False where the weft jams before the warp has lost all its crimp. */
  readonly warpStraight: boolean;
}

/**
 * Crimp interchange: the cloth pulled warpways at constant l1, l2 and D (F. T. Peirce 1937, J. Text. Inst. 28, T45)
 * until the warp is straight or the weft jams (l2 = D θ2), whichever comes first. Exact for flexible, inextensible,
 * incompressible threads; full straightening needs l2 ≥ π D/2.
 * @param share 0 leaves the cloth as it is, 1 (default) pulls as far as geometry allows, in terms of h1.
 */
export function pullWarp(weave: PlainWeave, spacing: { p1Mm: Millimetres; p2Mm: Millimetres }, share = 1): PulledWeave {
  const { dMm } = weave;
  const [l1, l2] = [weave.warp.lengthMm, weave.weft.lengthMm];
  const h2Most = greatestHeightOfLength(l2, dMm);
  const h2Mm = weave.h2Mm + share * (h2Most - weave.h2Mm);
  const h1Mm = dMm - h2Mm;
  const theta1Rad = angleFromHeight(l1, h1Mm, dMm);
  const theta2Rad = angleFromHeight(l2, h2Mm, dMm);
  const p2Mm = spacingFromAngle(l1, theta1Rad, dMm);
  const p1Mm = spacingFromAngle(l2, theta2Rad, dMm);
  return {
    h1Mm,
    h2Mm,
    theta1Rad,
    theta2Rad,
    p1Mm,
    p2Mm,
    warpExtension: p2Mm / spacing.p2Mm - 1,
    widthContraction: 1 - p1Mm / spacing.p1Mm,
    warpStraight: h1Mm <= 0,
  };
}
