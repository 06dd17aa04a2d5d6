import * as THREE from 'three';
import { shaderConstants } from '#engine/packing/clothBufferLayout.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { FACE_POSE } from '#render/eye.ts';
import { NORTH_LIGHT } from '#render/lightUniforms.ts';
import { PictureDrawer } from '#render/pictureDrawer.ts';
import { ProgramKinds } from '#render/programKinds.ts';
import { ScreenPass } from '#render/screenPass.ts';
import { composeShader, nameFiles } from '#render/shaderSource.ts';

/** A stretch of a ray: from `from`, along the unit `direction`, `lengthMm` long. */
export interface Stretch {
  readonly from: readonly [number, number, number];
  readonly direction: readonly [number, number, number];
  readonly lengthMm: number;
  /** The thread that it begins on (row * 2, or end * 2 + 1); -1: none. Searches for any thread leave that one out as it is left. */
  readonly leaves: number;
}

/** What a search of shaders/cloth/walk.glsl found: the thread (-1: none), and how far along the stretch, mm. */
export interface Found {
  readonly owner: number;
  readonly atMm: number;
}

const MAIN = `
uniform highp sampler2D uStretches;
out highp vec4 outFound;
void main() {
  vec4 from = texelFetch(uStretches, ivec2(0, int(gl_FragCoord.x)), 0);
  vec4 along = texelFetch(uStretches, ivec2(1, int(gl_FragCoord.x)), 0);
  Hit hit = walkCloth(from.xyz, along.xyz, 0.0, along.w, int(from.w));
  outFound = vec4(hit.kind == KIND_NONE ? -1.0 : float(ownerOf(hit.kind, hit.index)), hit.t, 0.0, 0.0);
}`;

/** Walks stretches of rays one by one in the shaders' own walk, without an eye or a picture. */
export class WalkProbe {
  readonly errors: string[] = [];
  private readonly renderer = new THREE.WebGLRenderer({ canvas: document.createElement('canvas') });
  private readonly drawer = new PictureDrawer(this.renderer);

  /**
   * What each stretch meets.
   * @param names that the walk's text is compiled with, such as TIGHT and ANY_HIT
   */
  search(cloth: PackedCloth, stretches: readonly Stretch[], names: readonly string[]): Found[] {
    const shader = composeShader('cloth/walk.glsl', shaderConstants());
    const { renderer, drawer } = this;
    renderer.debug.onShaderError = (gl, program, _vertex, fragment) => {
      const logs = [gl.getProgramInfoLog(program), gl.getShaderInfoLog(fragment)].filter(Boolean);
      this.errors.push(nameFiles(logs.join('\n'), shader));
    };
    if (drawer.cloth !== cloth) drawer.setCloth(cloth);
    drawer.setScene({ pose: FACE_POSE, light: NORTH_LIGHT, background: [0, 0, 0], backLit: false }, 1, 1, 1);
    const data = Float32Array.from(
      stretches.flatMap(({ from, direction, lengthMm, leaves }) => [...from, leaves, ...direction, lengthMm]),
    );
    const table = new THREE.DataTexture(data, 2, stretches.length, THREE.RGBAFormat, THREE.FloatType);
    table.needsUpdate = true;
    const material = new THREE.RawShaderMaterial({
      glslVersion: THREE.GLSL3,
      defines: Object.fromEntries(names.map((name) => [name, '1'])),
      vertexShader: composeShader('common/fullscreen.vert.glsl', {}).source,
      fragmentShader: shader.source + MAIN,
      uniforms: { ...drawer.programs.uniforms, uStretches: { value: table } },
      depthTest: false,
      depthWrite: false,
      blending: THREE.NoBlending,
    });
    const pass = new ScreenPass(new ProgramKinds(() => material, 0));
    const target = new THREE.WebGLRenderTarget(stretches.length, 1, { type: THREE.FloatType, depthBuffer: false });
    const read = new Float32Array(stretches.length * 4);
    pass.draw(renderer, target);
    renderer.readRenderTargetPixels(target, 0, 0, stretches.length, 1, read);
    for (const part of [pass, target, table]) part.dispose();
    return stretches.map((_, k) => ({ owner: read[4 * k], atMm: read[4 * k + 1] }));
  }

  close(): void {
    this.drawer.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }
}
