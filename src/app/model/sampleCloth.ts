import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { treatedYarns } from '#document/treatedYarns.ts';
import type { BendByHand, Cutting } from '#engine/cloth/after/afterTypes.ts';
import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import type { StateWanted } from '#engine/cloth/forecast/forecastCloth.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { bloomIn } from '#engine/cloth/states/treatments.ts';
import { linearFromHex } from '#engine/colour/colour.ts';
import type { Leaf } from '#engine/packing/layLeaf.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import { yarnMaterial } from '#engine/packing/yarnMaterial.ts';
import { leafOptics } from '#engine/yarn/leafOptics.ts';

/** A sample as the engine takes it, with what the page needs to show its threads. */
export interface SampleCloth {
  /** On the loom; the forecast takes it further. */
  readonly problem: ClothProblem;
  readonly wanted: StateWanted;
  /** Clipping and cuts after the loom, in order. */
  readonly cuttings: readonly Cutting[];
  /** Wefts bent by hand, in order. */
  readonly bends: readonly BendByHand[];
  /** Metal leaf pressed on, in order. */
  readonly leaves: readonly Leaf[];
  /** These four are parallel to `problem.yarns`. */
  readonly materials: readonly YarnMaterial[];
  readonly coloursOf: readonly (readonly string[])[];
  readonly namesOf: readonly string[];
  readonly widthMmOf: readonly number[];
  /** What can be woven but is seldom meant. */
  readonly remarks: readonly string[];
}

export type SampleClothOutcome =
  | { readonly ok: true; readonly value: SampleCloth }
  | { readonly ok: false; readonly trouble: { readonly where: string; readonly why: string } };

/** Fails, with the reason, where a yarn's facts or the draft cannot be. */
export function sampleCloth(sample: Sample, state: ClothState = 'onLoom'): SampleClothOutcome {
  try {
    const { problem, materials: woven, remarks } = toClothProblem(sample);
    const treatment = sample.finish?.treatment ?? 'none';
    const bloom = state === 'finished' ? bloomIn(treatment) : 0;
    const materials = treatedYarns(problem, woven, sample.afterLoom, bloom);
    return {
      ok: true,
      value: {
        problem,
        wanted: { state, treatment },
        cuttings: (sample.afterLoom ?? []).filter(isCutting),
        bends: (sample.afterLoom ?? []).filter((treatment) => treatment.kind === 'bend'),
        leaves: (sample.afterLoom ?? []).flatMap(leafOf),
        materials: materials.map(({ strands, hair }) => yarnMaterial(strands, hair)),
        coloursOf: materials.map(({ strands }) => strands.map((card) => card.coneColour)),
        namesOf: materials.map(({ strands }) => strands.map((card) => card.name).join(' and ')),
        widthMmOf: problem.yarns.map((body) => body.bodyWidthMm),
        remarks: remarks.map((remark) => remark.message),
      },
    };
  } catch (error) {
    return { ok: false, trouble: { where: 'sample', why: error instanceof Error ? error.message : String(error) } };
  }
}

/** Clipping and cuts are done to the threads where they lie; over-dye and brush to the yarns. */
function isCutting(treatment: Treatment): treatment is Extract<Treatment, Cutting> {
  return treatment.kind === 'clip' || treatment.kind === 'cut';
}

function leafOf(treatment: Treatment): Leaf[] {
  if (treatment.kind !== 'foil') return [];
  const { side, share, colour } = treatment;
  return [{ side, share, face: { coneColour: linearFromHex(colour), optics: leafOptics } }];
}
