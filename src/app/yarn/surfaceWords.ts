import { formatNumber } from '#app/words/numbers.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { SurfaceKindOfMake } from '#engine/yarn/yarnSurface.ts';
import { rangeWords } from './rangedWords.ts';

/** A length laid out in mm, in the reader's own measure: "0.4 mm". */
export type ThinWords = (mm: number | readonly [number, number]) => string;

/** What the two lengths of a make are of. */
const makes: Readonly<Record<SurfaceKindOfMake, readonly [made: string, across: string, along: string]>> = {
  woven: ['plain weave', 'a thread every', 'across and every'],
  twill: ['twill', 'a thread every', 'across and every'],
  knitted: ['knitted', 'a wale every', 'and a course every'],
  felted: ['felted', 'tufts of', 'across and'],
  braided: ['braided', 'a strand every', 'across and every'],
  leaf: ['leaf', 'fibres of', 'across and'],
  creased: ['creased', 'facets of', 'across and'],
};

const percent = (share: number) => `${formatNumber(100 * share, 1)} %`;

/** What a yarn or strip is made of beyond its count, one figure a field; undefined where the card does not say. */
export function surfaceFigures(card: YarnCard, thin: ThinWords) {
  const { make, mesh, back, core, glitter, paint, blend, plyColours, print, slubs } = card;
  return {
    make:
      make &&
      `${makes[make.kind].slice(0, 2).join(', ')} ${thin(make.acrossMm)} ${makes[make.kind][2]} ${thin(make.alongMm)}${make.kind === 'knitted' ? '' : ' along'}`,
    mesh:
      mesh &&
      `${mesh.shape === 'hexagon' ? 'hexagons' : 'squares'}, a bar every ${thin(mesh.pitchMm)}; ${percent(mesh.barPacking)} of a bar is fibre`,
    back: back && `${back.coneColour}, ${back.lustre}`,
    core: core && `${thin(core.diameterMm)}, ${core.coneColour}, ${core.lustre}`,
    glitter:
      glitter &&
      `${formatNumber(glitter.perCm2, 1)} to the cm², ${thin(glitter.diameterMm)} across, ${glitter.coneColour}`,
    paint: paint && `${paint.colour} on ${percent(paint.share)} of it, in patches of ${thin(paint.patchMm)}`,
    blend: blend?.map(({ colour, share }) => `${percent(share)} ${colour}`).join(', '),
    plyColours: plyColours?.join(', '),
    print:
      print &&
      `motifs of ${thin(print.motifMm)} in ${print.colours.map(({ colour, share }) => `${colour} on ${percent(share)}`).join(', ')}`,
    slubs:
      slubs &&
      `${rangeWords(slubs.timesWidth)} times as wide, ${thin(slubs.lengthMm)} long, one every ${thin(slubs.everyMm)}`,
  };
}
