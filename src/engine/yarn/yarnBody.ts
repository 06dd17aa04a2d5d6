import { fibreMassStiffnessN } from './compression.ts';
import { fibreAreaMm2, roundDiameterMm } from './diameter.ts';
import { fibreFactsOf } from './fibres.ts';
import { yarnFinishing } from './finishing.ts';
import { yarnGrip } from './grip.ts';
import { bendableCore } from './handBend.ts';
import { sectionHeightMm } from './section.ts';
import { stripHeightMm } from './strip.ts';
import { twistAngleRad } from './twist.ts';
import { isLooseFibre, yarnUnevenness } from './unevenness.ts';
import type { YarnBody, YarnFacts, YarnUnevenness } from './yarnTypes.ts';
import { bodyWidthMm } from './yarnWidths.ts';

const MPA_PER_GPA = 1000;

/**
 * No yarn holds its fibres steeper: hard crepe (cotton twist factor 9) lies at 45°. What comes out above belongs to a
 * core thinner than the yarn (chenille, gimp), whose pile hides it.
 */
const STEEPEST_TWIST_RAD = (50 * Math.PI) / 180;

/** Loose fibre pressed in a shed spreads to a band 2 to 3 times as wide as high: 1.5 of its round width (common practice). */
const LOOSE_WIDENED = 1.5;

/** Geometric mean: the likeliest value of a quantity known only to a factor. */
function likeliest([least, most]: readonly [number, number]): number {
  return Math.sqrt(least * most);
}

function refuse(facts: YarnFacts, what: string, remedy: string): never {
  throw new RangeError(`yarn ${facts.id}: ${what}; ${remedy}`);
}

function checkFacts(facts: YarnFacts): void {
  if (!(facts.tex > 0)) refuse(facts, `linear density ${facts.tex} tex`, 'give tex above 0');
  if (!(facts.packingFraction > 0 && facts.packingFraction <= 1)) {
    refuse(facts, `packing fraction ${facts.packingFraction}`, 'give a share above 0 and up to 1');
  }
  if (!(facts.fibreDensityGPerCm3 > 0)) {
    refuse(facts, `fibre density ${facts.fibreDensityGPerCm3} g/cm³`, 'give a density above 0');
  }
  const [least, most] = facts.bendingNmm2;
  if (!(least > 0 && most >= least)) {
    refuse(facts, `bending stiffness ${least}–${most} N mm²`, 'give the least and the most, above 0');
  }
}

/**
 * Force that would flatten one crossing wholly, were the law linear at contact height (N).
 * Fibrous yarns by van Wyk; solids by E w h, the fibre's modulus along itself, which is up to three times too stiff
 * across drawn polymers but in either case hard beside a crossing's 0.05–0.5 N.
 */
function stiffnessN(facts: YarnFacts, widthMm: number, heightMm: number): number {
  const modulusMPa = MPA_PER_GPA * likeliest(fibreFactsOf(facts.fibre).modulusGPa);
  return facts.compressibility === 'none'
    ? modulusMPa * widthMm * heightMm
    : fibreMassStiffnessN(modulusMPa, facts.packingFraction, Math.sqrt(widthMm * heightMm));
}

/** Even yarns have no such field. */
export function unevennessField(unevenness: YarnUnevenness | undefined): Pick<YarnBody, 'unevenness'> {
  return unevenness ? { unevenness } : {};
}

/**
 * The three widths, section, bending, compression and twist of a yarn or strip.
 *
 * Contact width: as measured, else d = sqrt(4T/(π φ ρ 1000)) (Peirce 1937), else the strip laid flat. Contact height
 * from the area T/(1000 ρ φ). Body and free widths: see `yarnWidths.ts`; contact ≤ body ≤ free always.
 * Widths are good to about ±10 % where contact was computed, ±25 % for body. Throws on facts that cannot be.
 */
export function yarnBody(facts: YarnFacts): YarnBody {
  checkFacts(facts);
  const strip = facts.shape === 'strip';
  const areaMm2 = fibreAreaMm2(facts.tex, facts.fibreDensityGPerCm3) / facts.packingFraction;
  const computedMm = strip
    ? facts.stripWidthMm
    : roundDiameterMm(facts.tex, facts.packingFraction, facts.fibreDensityGPerCm3);
  const roundMm = facts.contactWidthMm ?? computedMm;
  if (roundMm === undefined) return refuse(facts, 'a strip without a width', 'give stripWidthMm');
  const loose = isLooseFibre(facts);
  const contactWidthMm = loose ? LOOSE_WIDENED * roundMm : roundMm;

  const contactHeightMm = strip ? stripHeightMm(facts, contactWidthMm) : sectionHeightMm(areaMm2, contactWidthMm);
  // A strip opens no wider than it was cut.
  const freeLimitMm = facts.freeWidthMm ?? facts.stripWidthMm;
  const body = bodyWidthMm(contactWidthMm, facts.compressibility, freeLimitMm);
  const opening = body / contactWidthMm;
  // A round yarn swells alike both ways; a crumpled strip opens more sideways than up.
  const bodyHeightMm = contactHeightMm * (strip ? Math.sqrt(opening) : opening);
  const bends = bendableCore(facts, bodyHeightMm);
  const turns = facts.twistTurnsPerM ? (facts.twistTurnsPerM[0] + facts.twistTurnsPerM[1]) / 2 : 0;

  return {
    id: facts.id,
    tex: facts.tex,
    shape: facts.shape,
    plies: facts.plies,
    freeWidthMm: Math.max(body, facts.freeWidthMm ?? body),
    bodyWidthMm: body,
    bodyHeightMm,
    contactWidthMm,
    contactHeightMm,
    bendingNmm2: likeliest(facts.bendingNmm2),
    bendingRangeNmm2: facts.bendingNmm2,
    contactStiffnessN: stiffnessN(facts, contactWidthMm, contactHeightMm),
    contactPacking: facts.packingFraction,
    twistAngleRad: strip ? 0 : Math.min(STEEPEST_TWIST_RAD, twistAngleRad(contactWidthMm, turns)),
    twistTurnsPerM: turns,
    twistDirection: facts.twistDirection ?? 'S',
    finishing: yarnFinishing(facts),
    grip: yarnGrip(facts),
    ...(bends ? { bends } : {}),
    ...(loose ? { looseFibre: true } : {}),
    ...unevennessField(yarnUnevenness(facts)),
    strands: [facts.id],
  };
}
