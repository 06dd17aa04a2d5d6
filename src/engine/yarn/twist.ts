import type { Millimetres, Radians, Tex, TurnsPerMetre } from '#engine/units/units.ts';

/**
 * Angle of the surface fibres to the yarn axis: tan α = π d t.
 *
 * J. W. S. Hearle, P. Grosberg & S. Backer 1969, Structural Mechanics of Fibers, Yarns and Fabrics: the outer helix
 * opened flat. d in mm, t in turns/m; exact for an ideal helix. For a plied yarn t is the ply twist and the angle that
 * of the plies' outer edge; the fibres of a balanced ply then lie nearly along the yarn.
 */
export function twistAngleRad(diameterMm: Millimetres, turnsPerM: TurnsPerMetre): Radians {
  return Math.atan(Math.PI * (diameterMm / 1000) * turnsPerM);
}

/** tex × English cotton count: 1 / (840 yd/lb) in g/km. */
const TEX_TIMES_NE = 590.541;
const METRES_PER_INCH = 0.0254;

/**
 * Twist factors. English cotton: turns/in = TM sqrt(Ne). Tex: t = α / sqrt(tex). Metric: t = αm sqrt(Nm).
 * ISO 2061 defines twist; the conversions follow from tex · Ne = 590.541 and Nm = 1000 / tex, exact to 1e-6.
 */
export function turnsPerMFromTwistMultiplier(twistMultiplier: number, tex: Tex): TurnsPerMetre {
  return (twistMultiplier * Math.sqrt(TEX_TIMES_NE / tex)) / METRES_PER_INCH;
}

/** α of t = α / sqrt(tex), t in turns/m. */
export function texTwistFactor(turnsPerM: TurnsPerMetre, tex: Tex): number {
  return turnsPerM * Math.sqrt(tex);
}

/** αm of t = αm sqrt(Nm), t in turns/m. */
export function metricTwistFactor(turnsPerM: TurnsPerMetre, tex: Tex): number {
  return turnsPerM / Math.sqrt(1000 / tex);
}

/** How much an outer fibre is shorter along the axis than along itself: 1 − cos α (Hearle, Grosberg & Backer 1969). */
export function helixContraction(twistAngle: Radians): number {
  return 1 - Math.cos(twistAngle);
}

/**
 * Retraction of a yarn with fibres at all radii: tan²(α/2); its contraction factor is (1 + sec α) / 2
 * (Hearle, Grosberg & Backer 1969; ideal migrating-free helices, α < 60°).
 */
export function yarnRetraction(twistAngle: Radians): number {
  return Math.tan(twistAngle / 2) ** 2;
}

/** Length before twisting over length after: (1 + sec α) / 2. */
export function yarnContractionFactor(twistAngle: Radians): number {
  return (1 + 1 / Math.cos(twistAngle)) / 2;
}

export interface PlyHelix {
  readonly helixRadiusMm: Millimetres;
  /** Angle of each ply's own axis to the yarn. */
  readonly plyAngleRad: Radians;
  readonly bumpsPerCm: number;
  /** Length of ply in a unit length of yarn. */
  readonly plyLengthRatio: number;
}

/**
 * Axes of equal round plies that touch one another in a ring: helix radius r = d / (2 sin(π/n)), tan β = 2 π r t.
 *
 * Geometry of n circles round a centre, exact for 2 ≤ n ≤ 5 (from six plies on a core has room inside) as long as
 * the plies are little inclined (β < 25°: their sections are then ellipses by less than 10 %).
 */
export function plyHelix(plies: number, plyDiameterMm: Millimetres, plyTurnsPerM: TurnsPerMetre): PlyHelix {
  const helixRadiusMm = plies < 2 ? 0 : plyDiameterMm / (2 * Math.sin(Math.PI / plies));
  const slope = 2 * Math.PI * (helixRadiusMm / 1000) * plyTurnsPerM;
  return {
    helixRadiusMm,
    plyAngleRad: Math.atan(slope),
    bumpsPerCm: (plies * plyTurnsPerM) / 100,
    plyLengthRatio: Math.hypot(1, slope),
  };
}
