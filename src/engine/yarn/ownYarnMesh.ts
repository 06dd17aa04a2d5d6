import { fibreAreaMm2 } from './diameter.ts';
import {
  estimate,
  figures,
  measuredByYou,
  type OwnYarnMeasured,
  type OwnYarnProblem,
  type Ranged,
} from './ownYarnTypes.ts';
import { gaugeOf } from './ownYarnWeight.ts';
import type { StripMesh } from './yarnSurface.ts';

/** Share of a strand's section that is fibre: several fine filaments side by side (as on the shelf's nets, from memory). */
const BAR_PACKING: Ranged = { value: 0.7, low: 0.5, high: 0.907 };
/** No strand of threads is emptier. */
const EMPTIEST = 0.05;

export interface OwnMesh {
  readonly mesh: StripMesh;
  /** Thickness of its strands, which is the strip's while it lies flat. */
  readonly strandMm: Ranged;
  readonly from: { readonly mesh: string; readonly strand: string };
}

/**
 * A net's mesh from the distance of its holes and the thickness of its strands: strands of length 2/p on each unit of area
 * (see `meshBarMm`) hold what the strip weighs, so a strand's fibre has the section p/2 · (tex / (1000 ρ)) / width, and
 * its packing is that over π d²/4. A strand that cannot hold so much, or would be nearly all air, is told and set aside.
 */
export function ownMesh(
  { holeToHoleMm, strandMm, fibre }: OwnYarnMeasured,
  shape: StripMesh['shape'],
  tex: Ranged,
  width: Ranged,
  density: Ranged,
  problems: OwnYarnProblem[],
): OwnMesh | undefined {
  if (!(holeToHoleMm! > 0)) {
    problems.push({
      at: ['holeToHoleMm'],
      what: 'a net needs the distance of its holes',
      remedy: 'lay it flat on a ruler, see how many mm ten holes in a row take, and divide by ten',
      stops: true,
    });
    return undefined;
  }
  const pitchMm = holeToHoleMm!;
  const section = (t: keyof Ranged, other: keyof Ranged) =>
    ((pitchMm / 2) * fibreAreaMm2(tex[t], density[other])) / width[other];
  const thick = (area: number, packing: number) => Math.sqrt((4 * area) / (Math.PI * packing));
  const byWeight: Ranged = {
    value: thick(section('value', 'value'), BAR_PACKING.value),
    low: thick(section('low', 'high'), BAR_PACKING.high),
    high: thick(section('high', 'low'), BAR_PACKING.low),
  };
  const unmeasured = {
    mesh: { shape, pitchMm, barPacking: BAR_PACKING.value },
    strandMm: byWeight,
    from: { mesh: `${measuredByYou}; strands ${estimate} as of most nets`, strand: `${estimate} from weight and mesh` },
  };
  if (!(strandMm! > 0)) return unmeasured;
  const strand = gaugeOf(strandMm!);
  const least = thick(section('low', 'high'), BAR_PACKING.high);
  const most = thick(section('high', 'low'), EMPTIEST);
  const given = `${figures(strandMm!, 2)} mm`;
  const set = (what: string, remedy: string) => {
    problems.push({
      at: ['strandMm', 'holeToHoleMm', 'grams'],
      what,
      remedy: `${remedy}; the strand is set aside meanwhile`,
      stops: false,
    });
    return unmeasured;
  };
  if (strand.low >= pitchMm)
    return set(`strands of ${given} leave no holes ${figures(pitchMm, 2)} mm apart`, 'measure both again');
  if (strand.high < least)
    return set(
      `strands of ${given} are too thin: even packed full, ${fibre ?? 'a net'} of that weight has strands of ${figures(least, 2)} mm`,
      'measure again, or weigh again',
    );
  if (strand.low > most)
    return set(
      `strands of ${given} are too thick: at that weight they would be all but air`,
      'measure again, or weigh again',
    );
  const packing = (4 * section('value', 'value')) / (Math.PI * strandMm! ** 2);
  const barPacking = figures(Math.min(BAR_PACKING.high, Math.max(EMPTIEST, packing)), 3);
  return {
    mesh: { shape, pitchMm, barPacking },
    strandMm: strand,
    from: { mesh: measuredByYou, strand: measuredByYou },
  };
}
