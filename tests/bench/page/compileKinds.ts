import type * as THREE from 'three';
import { ClothPrograms } from '#render/clothPrograms.ts';
import { EVERY_FEATURE, Feature } from '#render/programFeatures.ts';
import type { ScreenPass } from '#render/screenPass.ts';

export interface Kind {
  readonly name: string;
  readonly vertex: string;
  readonly fragment: string;
  readonly defines: string;
}

const { sideways, hair, mesh, tight, clear, lobed, strands, ruled, facets, relief } = Feature;

/** Cloths by what they ask of programs. */
const WALKED: Readonly<Record<string, number>> = {
  smooth: 0,
  sideways,
  hair,
  net: mesh,
  'hair and tight': hair | tight,
  'net and tight': mesh | tight,
  clear,
  everything: EVERY_FEATURE,
};
const SHADED: Readonly<Record<string, number>> = {
  smooth: 0,
  hair,
  pile: hair | strands,
  net: mesh,
  film: facets | lobed | ruled,
  'cloth strip': hair | relief,
  clear: clear | facets | lobed,
  everything: EVERY_FEATURE,
};
const TRACED: Readonly<Record<string, number>> = {
  smooth: 0,
  hair,
  net: mesh,
  film: SHADED.film,
  'cloth strip': hair | tight | relief,
  everything: EVERY_FEATURE,
};

/** Every program that is compiled for long, as cloths of each kind ask for it. */
export function kindsOfPrograms(): Kind[] {
  const programs = new ClothPrograms();
  const { walk, surfaces, hairMet, lightWalk, lightHair, columns, lightColumns, lightField, shade, shadeHair } =
    programs;
  const ways: readonly (readonly [string, ScreenPass, Readonly<Record<string, number>>])[] = [
    ['nearest thread', walk, WALKED],
    ['surfaces apart', surfaces, { 'net and tight': mesh | tight, everything: EVERY_FEATURE }],
    ['nearest hair', hairMet, { hair, everything: EVERY_FEATURE }],
    ['ray to the light', lightWalk, WALKED],
    ['hair before the light', lightHair, { hair, everything: EVERY_FEATURE }],
    ['columns', columns, WALKED],
    ['ray through columns', lightColumns, WALKED],
    ['ray through columns and field', lightField, { hair, everything: EVERY_FEATURE }],
    ['shading', shade, SHADED],
    ['shading of hair apart', shadeHair, { everything: EVERY_FEATURE }],
  ];
  const kinds = ways.flatMap(([name, pass, sets]) =>
    Object.entries(sets).map(([set, features]) => {
      pass.use(features);
      return kindOf(`${name}, ${set}`, pass.material);
    }),
  );
  for (const draped of [false, true]) {
    for (const [set, features] of Object.entries(TRACED)) {
      const { ray, leave } = programs.createPath(false, draped, features);
      const what = draped ? 'draped reference' : 'reference';
      kinds.push(kindOf(`${what}, ray, ${set}`, ray.material), kindOf(`${what}, surface, ${set}`, leave.material));
    }
  }
  return kinds;
}

function kindOf(name: string, { vertexShader, fragmentShader, defines }: THREE.RawShaderMaterial): Kind {
  const lines = Object.entries(defines ?? {}).map(([define, value]) => `#define ${define} ${value}\n`);
  return { name, vertex: vertexShader, fragment: fragmentShader, defines: lines.join('') };
}
