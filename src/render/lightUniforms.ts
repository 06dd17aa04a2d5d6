import { type mat3, vec3 } from 'gl-matrix';
import type { Uniforms } from './clothTextures.ts';
import type { ClothLight } from './clothViewTypes.ts';

/** A tall north window to the upper left of the eye, in a pale room. */
export const NORTH_LIGHT: ClothLight = {
  towards: [-0.5, 0.62, 0.6],
  halfAngleRad: 0.22,
  skyShare: 0.34,
};

/** The room is brighter above and towards the eye; in room axes. */
const SKY_AXIS = vec3.fromValues(0, 0.6, 0.8);
/** As in shaders/cloth/light.glsl. */
const SKY_MEAN = 0.65;
const SKY_SWING = 0.35;

const towards = vec3.create();
const skyAxis = vec3.create();

/**
 * Light in the cloth's axes, scaled so that a white matte card facing the window receives 1: window and room together.
 * @param toCloth room axes -> cloth axes
 */
export function setLightUniforms(uniforms: Uniforms, light: ClothLight, toCloth: mat3): void {
  vec3.normalize(towards, light.towards as [number, number, number]);
  const roomOnCard = SKY_MEAN + SKY_SWING * (2 / 3) * vec3.dot(towards, SKY_AXIS);
  // The mean cosine over the window's cap, which a facing card sees.
  const windowOnCard = (1 + Math.cos(light.halfAngleRad)) / 2;
  uniforms.uKeyLight.value = (1 - light.skyShare) / windowOnCard;
  uniforms.uSkyLight.value = light.skyShare / roomOnCard;
  uniforms.uKeyCosHalfAngle.value = Math.cos(light.halfAngleRad);
  vec3.transformMat3(towards, towards, toCloth);
  vec3.transformMat3(skyAxis, SKY_AXIS, toCloth);
  uniforms.uKeyTowards.value.set(...towards);
  uniforms.uSkyAxis.value.set(...skyAxis);
}
