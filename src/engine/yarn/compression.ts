import type { Millimetres } from '#engine/units/units.ts';
import { contactStiffnessInPlaceN } from './set.ts';
import type { YarnBody } from './yarnTypes.ts';

/**
 * van Wyk's constant for a random mass of wool (from memory; published values run from 0.002 to 0.03). Fibres in a yarn
 * lie nearly side by side, which lowers it: trust a crossing's stiffness to a factor of about three.
 */
const VAN_WYK_K = 0.01;

/**
 * Pressure that compresses a fibre mass from packing φ0 to φ: P = K E (φ³ − φ0³).
 *
 * C. M. van Wyk 1946, J. Text. Inst. 37, T285, with φ = m / (ρ V). P in the unit of E. For φ ≥ φ0, best below φ = 0.3;
 * near close packing real fibre masses stiffen faster.
 */
export function compressionPressure(modulus: number, packing: number, packingAtRest: number, k = VAN_WYK_K): number {
  return k * modulus * (packing ** 3 - packingAtRest ** 3);
}

/** dP/dφ of {@link compressionPressure}: 3 K E φ². */
function compressionPressureSlope(modulus: number, packing: number, k = VAN_WYK_K): number {
  return 3 * k * modulus * packing * packing;
}

/**
 * Packing at a given pressure, the inverse of {@link compressionPressure}: φ = (P/(K E) + φ0³)^(1/3), for P ≥ 0.
 */
export function packingAtPressure(modulus: number, pressure: number, packingAtRest: number, k = VAN_WYK_K): number {
  return Math.cbrt(pressure / (k * modulus) + packingAtRest ** 3);
}

/**
 * Work per volume of fibre from φ0 to φ: K E [(φ² − φ0²)/2 + φ0³ (1/φ − 1/φ0)], the integral of P dV over the fibre's
 * own volume; J/m³ where E is in Pa.
 */
export function compressionWork(modulus: number, packing: number, packingAtRest: number, k = VAN_WYK_K): number {
  const rest3 = packingAtRest ** 3;
  return (
    k * modulus * ((packing * packing - packingAtRest * packingAtRest) / 2 + rest3 * (1 / packing - 1 / packingAtRest))
  );
}

/**
 * Force that would flatten a crossing of like yarns wholly, were the law linear at its contact height:
 * −H dF/dH = w² · φ dP/dφ = 3 K E φ³ w², since φ ∝ 1/H at constant width and the two sections share about w² mm².
 *
 * N from E in N/mm² and w in mm. Follows van Wyk 1946; see {@link VAN_WYK_K} for its uncertainty.
 */
export function fibreMassStiffnessN(
  modulusNPerMm2: number,
  contactPacking: number,
  contactWidthMm: Millimetres,
  k = VAN_WYK_K,
): number {
  return contactPacking * compressionPressureSlope(modulusNPerMm2, contactPacking, k) * contactWidthMm * contactWidthMm;
}

/** Packing that no yarn is pressed beyond: round fibres side by side lie at 0.79 in squares, at 0.91 at their closest. */
const CLOSEST_PACKING = 0.8;

/**
 * Of VAN_WYK_K, what crossed yarns show: half of the least value published for random masses (0.002), since fibres that lie side
 * by side have fewer and slacker spans between contacts. Chosen so that plain cloths of 8/2 cotton on the loom (0.24 N a
 * crossing) stand at the diameters reckoned from weight and packing, as the trade's geometry has it (Peirce 1937).
 */
const SIDE_BY_SIDE = 0.1;

/** Share of fibre in a spun yarn's contact section where it is not known. */
export const SPUN_PACKING = 0.6;

/** A section that gives under a crossing thread. Heights mm, stiffness N. */
export interface CrushLaw {
  /** Height with nothing on it, at the crossing that `stiffnessN` was reckoned for, and pressed as close as fibres lie. */
  readonly restHeightMm: Millimetres;
  readonly contactHeightMm: Millimetres;
  readonly leastHeightMm: Millimetres;
  /** See {@link fibreMassStiffnessN}. */
  readonly stiffnessN: number;
}

/**
 * How a yarn's or strip's section gives. Solid ones are as high pressed as not; fibres that finishing has set push
 * back less.
 */
export function crushLawOf(body: YarnBody): CrushLaw {
  const { contactHeightMm, contactPacking = SPUN_PACKING } = body;
  return {
    restHeightMm: Math.max(body.bodyHeightMm, contactHeightMm),
    contactHeightMm,
    leastHeightMm: contactHeightMm * Math.min(1, contactPacking / CLOSEST_PACKING),
    stiffnessN: contactStiffnessInPlaceN(body),
  };
}

/**
 * Height of a section under the force F of a crossing: van Wyk's law at constant width, on the crossing's own area,
 *   F = S/3 [(Hc/H)³ − (Hc/H0)³],  S = 3 K E φc³ w²,
 * from H0 at no force; no less than what the closest packing leaves. Known to a factor of three in F, as K is.
 */
export function crushedHeightMm(law: CrushLaw, forceN: number): Millimetres {
  const rest = law.contactHeightMm / law.restHeightMm;
  const pressed = (3 * Math.max(0, forceN)) / (SIDE_BY_SIDE * law.stiffnessN);
  return Math.max(law.leastHeightMm, law.contactHeightMm / Math.cbrt(pressed + rest ** 3));
}

/** How far a section at its contact height gives under unit force, mm/N: −dH/dF of {@link crushedHeightMm} there. */
export function softnessMmPerN({ contactHeightMm, stiffnessN }: CrushLaw): number {
  return contactHeightMm / (SIDE_BY_SIDE * stiffnessN);
}

/**
 * How sections give that their neighbours press to a share of their width: as much higher, their area kept. Alike ones are one
 * object, to a hundredth of the share.
 */
export function squeezedLaws(): (law: CrushLaw, share: number) => CrushLaw {
  const known = new Map<CrushLaw, Map<number, CrushLaw>>();
  return (law, share) => {
    const steps = Math.round(100 * share);
    if (steps >= 100) return law;
    const ofLaw = known.get(law) ?? new Map<number, CrushLaw>();
    known.set(law, ofLaw);
    let squeezed = ofLaw.get(steps);
    if (!squeezed) {
      const higher = 100 / steps;
      squeezed = {
        ...law,
        restHeightMm: higher * law.restHeightMm,
        contactHeightMm: higher * law.contactHeightMm,
        leastHeightMm: higher * law.leastHeightMm,
      };
      ofLaw.set(steps, squeezed);
    }
    return squeezed;
  };
}
