import * as THREE from 'three';
import { shaderConstants } from '#engine/packing/clothBufferLayout.ts';
import { farConstants } from '#engine/packing/far/farTypes.ts';
import { MOST_PANELS } from '#engine/packing/walk/drape.ts';
import { HAIRS_A_BATCH, HairPass } from './hairPass.ts';
import { HairPlaces } from './hairPlaces.ts';
import { Feature, hairShadedApart, hasAll, surfacesApart } from './programFeatures.ts';
import { ProgramKinds } from './programKinds.ts';
import { ProgramSets } from './programSets.ts';
import { ScreenPass } from './screenPass.ts';
import { type ComposedShader, composeShader, nameFiles } from './shaderSource.ts';
import { createViewUniforms, MOST_BOUNCES } from './viewUniforms.ts';

/**
 * Of a ray through columns: its steps, the first as a share of an ordinary one, how they grow; how far past a surface it starts anew;
 * and in how many places it looks after hair.
 */
const COLUMNS = {
  COLUMN_STEPS: '40',
  COLUMN_FIRST_STEP: '0.25',
  COLUMN_STEP_GROWS: '1.3',
  COLUMN_STEP_WIDENS: '0.05',
  COLUMN_PAST_MM: '1e-3',
  HAIR_LOOKS: '6',
};

/** The few programs of the picture, all on one set of uniforms; each in kinds, for what the cloth that is drawn asks of it. */
export class ClothPrograms {
  readonly uniforms = createViewUniforms();
  /** Nearest thread: all that is needed while moving and for reading back. */
  readonly walk: ScreenPass;
  /** After that, where it found threads alone: which way they face. */
  readonly surfaces: ScreenPass;
  /** Hair that rays meet before those: for lines of sight through kinds of crossings, and for checks. Without hair not used. */
  readonly hairMet: ScreenPass;
  /** Where each hair is. */
  readonly hairPlace: ScreenPass;
  private readonly hairPlaces: HairPlaces;
  /** Hair by hair over what the walk drew. */
  readonly hair: HairPass;
  /** Thick strands, by the depth of their round fronts: a depth told by the fragment takes longer. */
  readonly strands: HairPass;
  /** Such as hardly bend, one rectangle each. */
  readonly whole: HairPass;
  /** From there one ray towards the light. */
  readonly lightWalk: ScreenPass;
  /** What hair on its way takes of it, drawn over that. */
  readonly lightHair: ScreenPass;
  /** What stands over each place of the cloth, and the ray towards the light through that. */
  readonly columns: ScreenPass;
  readonly lightColumns: ScreenPass;
  /** The same with hair in a field of its own, and how dense that stands. */
  readonly lightField: ScreenPass;
  readonly hairField: ScreenPass;
  readonly shade: ScreenPass;
  /** The pixels of hair, where they are left to it. */
  readonly shadeHair: ScreenPass;
  readonly present: ScreenPass;
  /** One direction of what the eye spreads. */
  readonly blur: ScreenPass;
  /** What each kind of crossing shows from afar, and the cloth laid flat from that. */
  readonly farClass: ScreenPass;
  readonly farCloth: ScreenPass;
  /** Whether the walk finds threads alone. */
  apart = false;
  /** Whether shading leaves out hair. */
  hairApart = false;
  readonly sets = new ProgramSets((left) => {
    for (const pass of this.passes()) pass.keepFor(left);
  });
  private readonly composed: ComposedShader[] = [];

  /** @param countWork the walk tells of its work in place of depths */
  constructor(private readonly countWork = false) {
    const extra: Record<string, string> = countWork ? { COUNT_WORK: '1' } : {};
    const { sideways, hair, mesh, tight, clear, lobed, ruled, facets, relief, strands } = Feature;
    const walks = sideways | mesh | tight | clear;
    const looks = sideways | hair | mesh | lobed;
    this.walk = this.pass('cloth/gbuffer.frag.glsl', extra, walks | hair, (features) => [
      ...drawnHair(features),
      ...(this.isApart(features) ? ['SURFACE_APART'] : []),
    ]);
    this.surfaces = this.pass('cloth/surfaces.frag.glsl', {}, walks | hair);
    this.hairMet = this.pass('cloth/hairMet.frag.glsl', { HAIR: '1' }, sideways);
    this.hairPlace = this.pass('cloth/hairPlace.frag.glsl', { HAIR: '1' }, sideways);
    this.hairPlaces = new HairPlaces(this.hairPlace, this.uniforms);
    this.hair = new HairPass(this.hairKinds({}), this.uniforms, this.hairPlaces);
    this.whole = new HairPass(this.hairKinds({}, 'cloth/hairWhole'), this.uniforms, this.hairPlaces);
    this.strands = new HairPass(this.hairKinds({ ROUND: '1' }), this.uniforms, this.hairPlaces);
    this.lightWalk = this.pass('cloth/lightwalk.frag.glsl', extra, looks | tight | clear);
    this.lightHair = this.pass('cloth/lightHair.frag.glsl', { HAIR: '1' }, sideways | lobed, undefined, TAKEN);
    this.columns = this.pass('cloth/columns.frag.glsl', COLUMNS, sideways | hair | tight, drawnHair);
    this.lightColumns = this.pass('cloth/lightwalk.frag.glsl', { ...COLUMNS, COLUMNS: '1' }, looks);
    this.lightField = this.pass('cloth/lightwalk.frag.glsl', { ...COLUMNS, COLUMNS: '1', HAIR_FIELD: '1' }, looks);
    this.hairField = this.pass('cloth/hairField.frag.glsl', {}, sideways | hair);
    this.shade = this.pass(
      'cloth/shade.frag.glsl',
      { TOLD: '1' },
      hair | mesh | clear | lobed | ruled | facets | relief | strands,
      (features) => (hairShadedApart(features) ? ['HAIR_APART'] : []),
    );
    this.shadeHair = this.pass('cloth/shade.frag.glsl', { TOLD: '1', HAIR: '1', SHADES_HAIR: '1' });
    this.present = this.pass('post/present.frag.glsl', {});
    this.blur = this.pass('post/blur.frag.glsl', {});
    this.farClass = this.pass('cloth/farClass.frag.glsl', {});
    this.farCloth = this.pass('cloth/farCloth.frag.glsl', {});
  }

  /** Of the reference picture: its paths' means, and how far they have come. For the caller to dispose of. */
  createPathMean(): ScreenPass {
    return this.pass('cloth/pathMean.frag.glsl', {});
  }

  createPathSurvey(): ScreenPass {
    return this.pass('cloth/pathSurvey.frag.glsl', {});
  }

  /**
   * The reference picture's programs: one ray of each path a pass, and before it what leaves the surfaces where paths are. For the
   * caller to dispose of.
   * @param lambert perfectly matte surfaces, for which exact values are known, instead of the yarns' own
   * @param draped over an edge, instead of flat
   * @param features of the cloth
   */
  createPath(lambert: boolean, draped: boolean, features: number): { ray: ScreenPass; leave: ScreenPass } {
    const extra: Record<string, string> = lambert ? { LAMBERT: '1' } : {};
    if (draped) Object.assign(extra, { DRAPE: '1', MOST_PANELS: `${MOST_PANELS}` });
    const { sideways, hair, mesh, tight, ruled, facets, relief } = Feature;
    const walks = sideways | hair | mesh | tight;
    const fixed = { TOLD: '1', EYE_ONLY: '1', ...extra };
    const ray = this.pass('cloth/path.frag.glsl', { ...fixed, MOST_BOUNCES: `${MOST_BOUNCES}` }, walks);
    const leave = this.pass('cloth/pathLeave.frag.glsl', fixed, walks | ruled | facets | relief);
    for (const pass of [ray, leave]) pass.use(features);
    return { ray, leave };
  }

  /**
   * Draws for cloths of these features from now on: by programs of their own where those are compiled, else by fuller ones that
   * are, if any, which draw the same picture more slowly.
   */
  use(features: number, full: boolean): void {
    const set = this.sets.readyFor(features, full) ?? features;
    for (const pass of this.passes()) pass.use(set);
    this.apart = this.isApart(set);
    this.hairApart = hairShadedApart(set);
  }

  /** Whether a cloth of these features is drawn by a walk that finds threads alone. */
  isApart(features: number): boolean {
    return !this.countWork && surfacesApart(features);
  }

  /** Compiler messages with file names. */
  explain(log: string): string {
    return this.composed.map((shader) => nameFiles(log, shader)).find((named) => named !== log) ?? log;
  }

  dispose(): void {
    this.hairPlaces.dispose();
    for (const pass of this.passes()) pass.dispose();
  }

  private passes(): (ScreenPass | HairPass)[] {
    return Object.values(this).filter((part) => part instanceof ScreenPass || part instanceof HairPass);
  }

  /**
   * @param also defined too, by the features of the cloth
   * @param over how it is drawn over what is there; in its place by default
   */
  private pass(
    path: string,
    defines: Record<string, string>,
    concerns = 0,
    also: (features: number) => readonly string[] = () => [],
    over: THREE.MaterialParameters = { blending: THREE.NoBlending },
  ): ScreenPass {
    const fragment = composeShader(path, { ...shaderConstants(), ...farConstants(), ...defines });
    const vertex = composeShader('common/fullscreen.vert.glsl', {});
    this.composed.push(fragment);
    const make = (features: number) => {
      const names = also(features);
      const deep = names.includes(HAIR_DRAWN);
      return new THREE.RawShaderMaterial({
        name: path,
        glslVersion: THREE.GLSL3,
        defines: definesOf(features, names),
        vertexShader: vertex.source,
        fragmentShader: fragment.source,
        uniforms: this.uniforms,
        depthTest: deep,
        depthWrite: deep,
        // Wherever the walk has been, its depth is the one that counts, for hair that is drawn over it.
        depthFunc: THREE.AlwaysDepth,
        toneMapped: false,
        ...over,
      });
    };
    return new ScreenPass(new ProgramKinds(make, concerns));
  }

  private hairKinds(defines: Record<string, string>, path = 'cloth/hairDraw'): ProgramKinds {
    const constants = { ...shaderConstants(), HAIR: '1', HAIRS_A_BATCH: `${HAIRS_A_BATCH}`, ...defines };
    const vertex = composeShader(`${path}.vert.glsl`, constants);
    const fragment = composeShader(`${path}.frag.glsl`, constants);
    this.composed.push(vertex, fragment);
    const make = (features: number) =>
      new THREE.RawShaderMaterial({
        name: `${path}.frag.glsl`,
        glslVersion: THREE.GLSL3,
        defines: definesOf(features),
        vertexShader: vertex.source,
        fragmentShader: fragment.source,
        uniforms: this.uniforms,
        side: THREE.DoubleSide,
        blending: THREE.NoBlending,
        toneMapped: false,
      });
    return new ProgramKinds(make, Feature.sideways);
  }
}

/** Takes away so much of what is there as its alpha says. */
const TAKEN: THREE.MaterialParameters = {
  blending: THREE.CustomBlending,
  blendEquation: THREE.ReverseSubtractEquation,
  blendSrc: THREE.DstAlphaFactor,
  blendDst: THREE.OneFactor,
};

/** What shaders call each feature that they know. */
const NAMES: readonly (readonly [number, string])[] = [
  [Feature.sideways, 'SIDEWAYS'],
  [Feature.hair, 'HAIR'],
  [Feature.mesh, 'MESH'],
  [Feature.tight, 'TIGHT'],
  [Feature.clear, 'CLEAR'],
  [Feature.lobed, 'LOBED'],
  [Feature.ruled, 'RULED'],
  [Feature.facets, 'FACETS'],
  [Feature.relief, 'RELIEF'],
  [Feature.strands, 'STRANDS'],
];

function definesOf(features: number, also: readonly string[] = []): Record<string, string> {
  const names = NAMES.flatMap(([bit, name]) => (hasAll(features, bit) ? [name] : []));
  return Object.fromEntries([...names, ...also].map((name) => [name, '1']));
}

/** Of a walk that looks for bodies alone, over which hair is drawn. */
const HAIR_DRAWN = 'HAIR_DRAWN';

function drawnHair(features: number): string[] {
  return hasAll(features, Feature.hair) ? [HAIR_DRAWN] : [];
}
