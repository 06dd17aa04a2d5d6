import * as THREE from 'three';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { buildFar } from '#engine/packing/far/buildFar.ts';
import type { PackedCloth, YarnMaterial } from '#engine/packing/packedCloth.ts';
import { yarnOptics } from '#engine/yarn/yarnOptics.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import type { ClothLight, ClothPose } from '#render/clothViewTypes.ts';
import { FACE_POSE } from '#render/eye.ts';
import { PictureDrawer } from '#render/pictureDrawer.ts';
import { PictureTargets } from '#render/pictureTargets.ts';
import { withRenderer } from '#render/renderer.ts';
import { clothFixture, type FixtureOptions } from './clothFixtures.ts';
import { pack } from './clothProbe.ts';

/** A cloth in preset yarns: their optics and colours, on bodies and heights as given. */
export async function presetCloth(
  options: FixtureOptions,
  yarns: readonly { readonly id: string; readonly colour: LinearRgb }[],
): Promise<PackedCloth> {
  const presets = await readAllYarnPresets();
  const materials: YarnMaterial[] = yarns.map(({ id, colour }) => {
    const preset = presets.find((one) => one.id === id);
    if (!preset) throw new Error(`no preset yarn ${id}`);
    return { strands: [{ coneColour: colour, optics: yarnOptics(preset) }] };
  });
  return pack({ ...clothFixture(options), materials });
}

/** Draws cloth and reads linear light back, without a canvas in between. */
export class LinearProbe {
  readonly renderer = new THREE.WebGLRenderer({ canvas: document.createElement('canvas') });
  readonly drawer = new PictureDrawer(this.renderer);
  readonly errors: string[] = [];

  constructor() {
    this.renderer.debug.onShaderError = (gl, program, vertex, fragment) => {
      const logs = [gl.getProgramInfoLog(program), gl.getShaderInfoLog(vertex), gl.getShaderInfoLog(fragment)];
      this.errors.push(this.drawer.programs.explain(logs.filter(Boolean).join('\n')));
    };
  }

  setCloth(cloth: PackedCloth): void {
    this.drawer.setCloth(cloth);
    this.drawer.setFar(cloth, buildFar(cloth));
  }

  /** The mean of some samples, RGBA per pixel, bottom row first. */
  picture(
    pose: Partial<ClothPose>,
    light: ClothLight,
    size: number,
    samples: number,
    { walkAll = false, walkLight = false, fine = false, firstSample = 0, bench = 0, features = 0, lit = true } = {},
  ): Float32Array {
    const targets = new PictureTargets(size, size, true);
    const scene = {
      pose: { ...FACE_POSE, ...pose },
      light,
      background: [bench, bench, bench] as const,
      backLit: false,
      walkAll,
      walkLight,
      fine,
      features,
    };
    const half = new Uint16Array(size * size * 4);
    withRenderer(this.renderer, () => {
      this.drawer.setScene(scene, size, size, 1);
      for (let k = 0; k < samples; k++) {
        const tile = { x: 0, y: 0, width: size, height: size };
        const history = k === 0 ? null : targets.meanSoFar;
        this.drawer.drawTile(targets, tile, firstSample + k, lit, targets.meanToBe, history, k / (k + 1));
        targets.swap();
      }
      this.renderer.readRenderTargetPixels(targets.meanSoFar, 0, 0, size, size, half);
    });
    targets.dispose();
    this.drawer.release(scene);
    return Float32Array.from(half, (bits) => THREE.DataUtils.fromHalfFloat(bits));
  }

  close(): void {
    this.drawer.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }
}

/** Mean over a picture, each channel. */
export function meanOf(picture: Float32Array): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < picture.length; k++) if (k % 4 < 3) sum[k % 4] += picture[k];
  return [0, 1, 2].map((c) => (sum[c] * 4) / picture.length) as [number, number, number];
}
