import * as THREE from 'three';
import { shaderConstants } from '#engine/packing/clothBufferLayout.ts';
import { farConstants } from '#engine/packing/far/farTypes.ts';
import { MOST_PANELS } from '#engine/packing/walk/drape.ts';
import { createClothUniforms, type Uniforms } from './clothTextures.ts';
import { HAIRS_A_BATCH, HairPass } from './hairPass.ts';
import { HairPlaces } from './hairPlaces.ts';
import { ScreenPass } from './screenPass.ts';
import { type ComposedShader, composeShader, nameFiles } from './shaderSource.ts';

export function createViewUniforms(): Uniforms {
  return {
    ...createClothUniforms(),
    uEye: { value: new THREE.Vector3() },
    uRight: { value: new THREE.Vector3() },
    uUp: { value: new THREE.Vector3() },
    uForward: { value: new THREE.Vector3() },
    uMmPerPixel: { value: 1 },
    uTanPerPixel: { value: 0 },
    uPictureSize: { value: new THREE.Vector2() },
    uPixelOffset: { value: new THREE.Vector2() },
    uJitter: { value: new THREE.Vector2(0.5, 0.5) },
    uJitterSpread: { value: 0 },
    uRayStart: { value: 0 },
    uSample: { value: 0 },
    uKeyTowards: { value: new THREE.Vector3(0, 0, 1) },
    uKeyCosHalfAngle: { value: 1 },
    uKeyLight: { value: 1 },
    uSkyLight: { value: 0 },
    uSkyAxis: { value: new THREE.Vector3(0, 0, 1) },
    uId: { value: null },
    uDepth: { value: null },
    uNormal: { value: null },
    uAxis: { value: null },
    uLight: { value: null },
    uLit: { value: 0 },
    uHistory: { value: null },
    uHistoryWeight: { value: 0 },
    uMostBounces: { value: MOST_BOUNCES },
    uPathPlace: { value: null },
    uPathWay: { value: null },
    uPathCarried: { value: null },
    uPathSum: { value: null },
    uDrape: { value: new THREE.Vector4() },
    uSamplesBefore: { value: -1 },
    uSamplesWanted: { value: 0 },
    uTileSize: { value: new THREE.Vector2() },
    uSurveyBlock: { value: 1 },
    uBackground: { value: new THREE.Vector3() },
    uBackLit: { value: 0 },
    uLoopMost: { value: 1 << 20 },
    uPicture: { value: null },
    uTargetSize: { value: new THREE.Vector2() },
    uTargetOffset: { value: new THREE.Vector2() },
    uLightnessOnly: { value: 0 },
    uBlurStep: { value: new THREE.Vector2() },
    uBlurSigma: { value: 0 },
    uFarOn: { value: 0 },
    uFarCloth: { value: null },
    uFarClassShade: { value: null },
    uFarWindow: { value: new THREE.Vector4(0, 0, 1, 1) },
    uHairFromMm: { value: 0 },
    uHairThreads: { value: null },
    uHairFirst: { value: 0 },
    uHairRoots: { value: null },
    uHairChords: { value: null },
    uHairBows: { value: null },
    uHairRange: { value: new THREE.Vector4() },
    uHairWhose: { value: new THREE.Vector4(0, 0, 1, 0) },
    uBufferSize: { value: new THREE.Vector2(1, 1) },
    uDepthRange: { value: new THREE.Vector3(0, 1, 0) },
    uFarSize: { value: new THREE.Vector2(1, 1) },
    uFarParts: { value: new THREE.Vector2(1, 1) },
    uFarRange: { value: new THREE.Vector2(1, 2) },
    uKinds: { value: new THREE.Vector4(0, 1, 1, 1) },
    uKindsFrom: { value: 0 },
    uKindView: { value: new THREE.Vector4() },
    uColumns: { value: null },
    uColumnsPlace: { value: new THREE.Vector4(0, 0, 1, 1) },
    uColumnsHeights: { value: new THREE.Vector2() },
    uColumnStepMm: { value: 1 },
    uHairField: { value: null },
    uHairPlace: { value: new THREE.Vector4(0, 0, 1, 1) },
    uHairHeights: { value: new THREE.Vector4(0, 0, 1, 0) },
    uFieldLayer: { value: new THREE.Vector2(0, 1) },
  };
}

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

/** Most bounces of a path in the reference picture, and its loop's bound. */
export const MOST_BOUNCES = 32;

/** The few programs of the picture, all on one set of uniforms. */
export class ClothPrograms {
  readonly uniforms = createViewUniforms();
  /** Nearest thread: all that is needed while moving and for reading back. */
  readonly walk: ScreenPass;
  /** The same where rays meet hairs: for lines of sight through kinds of crossings, and for checks. Without hair not used. */
  readonly hairWalk: ScreenPass;
  /** Where each hair is. */
  readonly hairPlace: ScreenPass;
  private readonly hairPlaces: HairPlaces;
  /** Hair by hair over what the walk drew. */
  readonly hair: HairPass;
  /** Thick strands, by the depth of their round fronts: a depth told by the fragment takes longer. */
  readonly strands: HairPass;
  /** From there one ray towards the light. */
  readonly lightWalk: ScreenPass;
  /** What stands over each place of the cloth, and the ray towards the light through that. */
  readonly columns: ScreenPass;
  readonly lightColumns: ScreenPass;
  /** The same with hair in a field of its own, and how dense that stands. */
  readonly lightField: ScreenPass;
  readonly hairField: ScreenPass;
  readonly shade: ScreenPass;
  readonly present: ScreenPass;
  /** One direction of what the eye spreads. */
  readonly blur: ScreenPass;
  /** What each kind of crossing shows from afar, and the cloth laid flat from that. */
  readonly farClass: ScreenPass;
  readonly farCloth: ScreenPass;
  /** Goes up where programs are to be compiled anew. */
  version = 0;
  private sideways = false;
  private hairy = false;
  private meshed = false;
  private tight = false;
  private clear = false;
  private lobed = false;
  private stranded = false;
  private readonly composed: ComposedShader[] = [];

  constructor(countWork = false) {
    const extra: Record<string, string> = countWork ? { COUNT_WORK: '1' } : {};
    this.walk = this.pass('cloth/gbuffer.frag.glsl', extra);
    this.hairWalk = this.pass('cloth/gbuffer.frag.glsl', { ...extra, HAIR: '1' });
    this.hairPlace = this.pass('cloth/hairPlace.frag.glsl', { HAIR: '1' });
    this.hairPlaces = new HairPlaces(this.hairPlace, this.uniforms);
    this.hair = new HairPass(this.hairMaterial({}), this.uniforms, this.hairPlaces);
    this.strands = new HairPass(this.hairMaterial({ ROUND: '1' }), this.uniforms, this.hairPlaces);
    this.lightWalk = this.pass('cloth/lightwalk.frag.glsl', extra);
    this.columns = this.pass('cloth/columns.frag.glsl', COLUMNS);
    this.lightColumns = this.pass('cloth/lightwalk.frag.glsl', { ...COLUMNS, COLUMNS: '1' });
    this.lightField = this.pass('cloth/lightwalk.frag.glsl', { ...COLUMNS, COLUMNS: '1', HAIR_FIELD: '1' });
    this.hairField = this.pass('cloth/hairField.frag.glsl', {});
    this.shade = this.pass('cloth/shade.frag.glsl', {});
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
   * The reference picture's program, one ray of each path a pass; for the caller to dispose of.
   * @param lambert perfectly matte surfaces, for which exact values are known, instead of the yarns' own
   * @param draped over an edge, instead of flat
   */
  createPath(lambert: boolean, draped = false): ScreenPass {
    const extra: Record<string, string> = lambert ? { LAMBERT: '1' } : {};
    if (draped) Object.assign(extra, { DRAPE: '1', MOST_PANELS: `${MOST_PANELS}` });
    if (this.sideways) extra.SIDEWAYS = '1';
    if (this.hairy) extra.HAIR = '1';
    if (this.meshed) extra.MESH = '1';
    if (this.tight) extra.TIGHT = '1';
    return this.pass('cloth/path.frag.glsl', { MOST_BOUNCES: `${MOST_BOUNCES}`, EYE_ONLY: '1', ...extra });
  }

  get isHairy(): boolean {
    return this.hairy;
  }

  /** From now on threads may leave their own lines sideways, which costs a tenth more of each frame. */
  allowSideways(): void {
    if (this.sideways) return;
    this.sideways = true;
    const drawn = [this.walk, this.hairWalk, this.hairPlace, this.hair, this.strands];
    this.define('SIDEWAYS', [...drawn, this.columns, this.hairField, ...this.towardsLight]);
  }

  /** From now on threads may have hair. */
  allowHair(): void {
    if (this.hairy) return;
    this.hairy = true;
    this.define('HAIR', [this.walk, this.columns, this.hairField, this.shade, ...this.towardsLight]);
    this.define('HAIR_DRAWN', [this.walk, this.columns]);
    // Wherever the walk has been, its depth is the one that counts.
    Object.assign(this.walk.material, { depthTest: true, depthWrite: true, depthFunc: THREE.AlwaysDepth });
  }

  get isStranded(): boolean {
    return this.stranded;
  }

  /** From now on some hair may be of thick strands. */
  allowStrands(): void {
    if (this.stranded) return;
    this.stranded = true;
    this.version++;
  }

  /** From now on threads may be open. */
  allowMesh(): void {
    if (this.meshed) return;
    this.meshed = true;
    this.define('MESH', [this.walk, this.hairWalk, this.shade, ...this.towardsLight]);
  }

  /** From now on threads may bend more tightly than they are thick, which costs half as much again of each frame. */
  allowTight(): void {
    if (this.tight) return;
    this.tight = true;
    this.define('TIGHT', [this.walk, this.hairWalk, this.columns, ...this.towardsLight]);
  }

  /** From now on threads may be clear. */
  allowClear(): void {
    if (this.clear) return;
    this.clear = true;
    this.define('CLEAR', [this.walk, this.hairWalk, this.lightWalk, this.shade]);
  }

  /** From now on faces may look for the room's light otherwise than by the cosine, which costs a third more of its rays. */
  allowLobes(): void {
    if (this.lobed) return;
    this.lobed = true;
    this.define('LOBED', this.towardsLight);
  }

  private get towardsLight(): readonly ScreenPass[] {
    return [this.lightWalk, this.lightColumns, this.lightField];
  }

  private define(name: string, passes: readonly (ScreenPass | HairPass)[]): void {
    for (const { material } of passes) {
      material.defines = { ...material.defines, [name]: '1' };
      material.needsUpdate = true;
    }
    this.version++;
  }

  /** Compiler messages with file names. */
  explain(log: string): string {
    return this.composed.map((shader) => nameFiles(log, shader)).find((named) => named !== log) ?? log;
  }

  dispose(): void {
    for (const part of Object.values(this)) {
      if (part instanceof ScreenPass || part instanceof HairPass || part instanceof HairPlaces) part.dispose();
    }
  }

  private pass(path: string, defines: Record<string, string>): ScreenPass {
    const fragment = composeShader(path, { ...shaderConstants(), ...farConstants(), ...defines });
    const vertex = composeShader('common/fullscreen.vert.glsl', {});
    this.composed.push(fragment);
    return new ScreenPass(
      new THREE.RawShaderMaterial({
        name: path,
        glslVersion: THREE.GLSL3,
        vertexShader: vertex.source,
        fragmentShader: fragment.source,
        uniforms: this.uniforms,
        depthTest: false,
        depthWrite: false,
        blending: THREE.NoBlending,
        toneMapped: false,
      }),
    );
  }

  private hairMaterial(defines: Record<string, string>): THREE.RawShaderMaterial {
    const constants = { ...shaderConstants(), HAIR: '1', HAIRS_A_BATCH: `${HAIRS_A_BATCH}`, ...defines };
    const vertex = composeShader('cloth/hairDraw.vert.glsl', constants);
    const fragment = composeShader('cloth/hairDraw.frag.glsl', constants);
    this.composed.push(vertex, fragment);
    return new THREE.RawShaderMaterial({
      name: 'cloth/hairDraw.frag.glsl',
      glslVersion: THREE.GLSL3,
      vertexShader: vertex.source,
      fragmentShader: fragment.source,
      uniforms: this.uniforms,
      side: THREE.DoubleSide,
      blending: THREE.NoBlending,
      toneMapped: false,
    });
  }
}
