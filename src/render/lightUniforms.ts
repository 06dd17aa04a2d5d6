import { type mat3, vec3 } from 'gl-matrix';
import type { LinearRgb } from '#engine/colour/colour.ts';
import type { Uniforms } from './clothTextures.ts';
import type { ClothLight } from './clothViewTypes.ts';

/** A tall north window to the upper left of the eye, in a pale room. */
export const NORTH_LIGHT: ClothLight = {
  towards: [-0.5, 0.62, 0.6],
  halfAngleRad: 0.22,
  skyShare: 0.34,
};

/** The room is brighter above and towards the eye; in room axes. */
export const SKY_AXIS = vec3.fromValues(0, 0.6, 0.8);
/** As in shaders/cloth/light.glsl. */
const SKY_MEAN = 0.65;
const SKY_SWING = 0.35;

const towards = vec3.create();
const skyAxis = vec3.create();
const facing = vec3.create();

/** What a matte card facing a direction (any length) receives of a room of uSkyLight 1, over pi. */
export function skyOnCard(direction: readonly [number, number, number]): number {
  vec3.normalize(facing, direction as [number, number, number]);
  return SKY_MEAN + SKY_SWING * (2 / 3) * vec3.dot(facing, SKY_AXIS);
}

/** Square-on irradiance of the key over pi, and the room's scale: together 1 on a white card facing the key. */
function lightLevels(light: ClothLight): { readonly key: number; readonly sky: number } {
  // The mean cosine over the window's cap, which a facing card sees.
  const windowOnCard = (1 + Math.cos(light.halfAngleRad)) / 2;
  return { key: (1 - light.skyShare) / windowOnCard, sky: light.skyShare / skyOnCard(light.towards) };
}

/** Radiance of the window itself: its irradiance square on over the solid angle of its cap, 2 pi (1 - cos). */
export function windowRadiance(light: ClothLight): number {
  return lightLevels(light).key / (2 * (1 - Math.cos(light.halfAngleRad)));
}

/** What is seen past the cloth: the bench, or the window where the cloth is held to it. */
export function seenBehind(light: ClothLight, bench: LinearRgb): LinearRgb {
  if (!light.behindCloth) return bench;
  const radiance = windowRadiance(light);
  return [radiance, radiance, radiance];
}

/**
 * Light in the cloth's axes, scaled so that a white matte card facing the window receives 1: window and room together.
 * @param toCloth room axes -> cloth axes
 */
export function setLightUniforms(uniforms: Uniforms, light: ClothLight, toCloth: mat3): void {
  const { key, sky } = lightLevels(light);
  uniforms.uKeyLight.value = key;
  uniforms.uSkyLight.value = sky;
  uniforms.uKeyCosHalfAngle.value = Math.cos(light.halfAngleRad);
  uniforms.uKeyHalfAngle.value = light.halfAngleRad;
  vec3.normalize(towards, light.towards as [number, number, number]);
  vec3.transformMat3(towards, towards, toCloth);
  vec3.transformMat3(skyAxis, SKY_AXIS, toCloth);
  uniforms.uKeyTowards.value.set(...towards);
  uniforms.uSkyAxis.value.set(...skyAxis);
}
