// Film, wire and clear sheets; the twin of src/engine/scatter/facets.ts and facetBrdf.ts, where the sources are named.
#include "../common/loops.glsl"
#include "fresnel.glsl"
#include "optics.glsl"
#include "table.glsl"

// And gratings where no film is ruled.
#if defined(RULED) || !defined(TOLD)
#define GRATINGS
#endif

struct FacetDirection {
  float cosine;
  // Scale of the facet lobe; share returned by a clear sheet, by its front face.
  vec4 entry;
};

float facetRoughness(Optics optics, float tilt) {
  return clamp(sqrt(optics.surfaceWidth * optics.surfaceWidth + 2.0 * tilt * tilt), LEAST_ROUGHNESS, 1.0);
}

float facetDensity(float cosine, float alpha) {
  float a2 = alpha * alpha;
  // 1 - cosine² from the factors: near the mirror direction the plain form loses its digits.
  float d = (1.0 - cosine) * (1.0 + cosine) + a2 * cosine * cosine;
  return a2 / (3.14159265 * d * d);
}

float facetLambda(float cosine, float alpha) {
  float c2 = max(1e-8, cosine * cosine);
  return 0.5 * (sqrt(1.0 + alpha * alpha * (1.0 - c2) / c2) - 1.0);
}

FacetDirection facetDirection(Optics optics, vec3 normal, vec3 direction, float alpha) {
  FacetDirection d;
  d.cosine = dot(normal, direction);
  d.entry = scatterEntry(optics.block, vec3(scatterPlace(d.cosine), sqrt(alpha) * float(SCATTER_NODES - 1), 0.0));
  return d;
}

// Metal and both passes of the lacquer before it; tint: T² of the lacquer.
vec3 metalBase(Optics optics, vec3 tint, float inner) {
  vec3 pass = optics.eta > 1.0 ? pow(max(tint, vec3(1e-4)), vec3(1.0 / inner)) : tint;
  float rise = 1.0 - inner;
  float rise2 = rise * rise;
  return pass * (optics.volumeWidth + (1.0 - optics.volumeWidth) * rise2 * rise2 * rise);
}

// All passes below a front face that reflects r, incoherent.
vec3 stackReflectance(float r, vec3 base) {
  return r + (1.0 - r) * (1.0 - r) * base / (1.0 - r * base);
}

// Share of light that a grating leaves to the mirror, which takes what its orders would send below the surface. along, across:
// of the mirrored direction, on the ruling's tangent and square to it.
vec3 gratingMirrors(float pitchUm, float along, float across, float blur) {
  vec3 rest = vec3(1.0);
  for (int k = 0; k < FEW(6); k++) {
    int order = k / 2;
    float perOrder = pitchUm / float(order + 1);
    vec3 u = along + float(2 * (k & 1) - 1) / perOrder * CHANNEL_MIDDLE_UM;
    vec3 far = sqrt(u * u + across * across);
    vec3 spread = u / far * CHANNEL_SPREAD_UM / perOrder;
    rest -= GRATING_SHARES[order] / (1.0 + exp(1.702 * (far - 1.0) * inversesqrt(blur * blur + spread * spread)));
  }
  return rest;
}

// What the orders of a grating ruled square to the tangent add, for a film that reflects all (src/engine/scatter/grating.ts).
vec3 gratingBrdf(float pitchUm, vec3 sum, vec3 side, vec3 tangent, float blur) {
  const float INV_SQRT_TAU = 0.39894228;
  float u = abs(dot(tangent, sum));
  float v = dot(side, sum) / blur;
  vec3 orders = vec3(0.0);
  for (int k = 0; k < FEW(3); k++) {
    float perOrder = pitchUm / float(k + 1);
    vec3 variance = CHANNEL_SPREAD_UM * CHANNEL_SPREAD_UM + perOrder * perOrder * blur * blur;
    vec3 off = perOrder * u - CHANNEL_MIDDLE_UM;
    orders += GRATING_SHARES[k] * perOrder * INV_SQRT_TAU * inversesqrt(variance) * exp(-0.5 * off * off / variance);
  }
  return orders * INV_SQRT_TAU / blur * exp(-0.5 * v * v);
}

vec3 withinGaussian(vec3 middle, float width, vec3 deviation) {
  return 1.0 / (1.0 + exp(-1.702 * (middle + width) / deviation)) - 1.0 / (1.0 + exp(-1.702 * (middle - width) / deviation));
}

// What a film that reflects all returns of a round, even light, over that light's radiance: the light mirrored, and again in each
// order of a grating. Twin, with the reasons: src/engine/scatter/facetWindow.ts.
vec3 facetWindow(float pitchUm, vec3 towards, float cosHalfAngle, vec3 toEye, vec3 normal, vec3 tangent, float alpha) {
  vec3 sum = towards + toEye;
  vec3 halfway = normalize(sum);
  float cosH = max(0.05, dot(halfway, normal));
  float cosD = max(0.05, dot(halfway, toEye));
  float disc = 2.0 * (1.0 - cosHalfAngle);
  float radius = sqrt(disc / (4.0 * cosD * cosH * cosH * cosH));
  float slope = sqrt(max(0.0, 1.0 - cosH * cosH)) / cosH;
  float mirrored = sin(0.5 * (atan((slope + radius) / alpha) - atan((slope - radius) / alpha)));
  mirrored *= mirrored;
#ifndef GRATINGS
  return vec3(mirrored);
#else
  if (pitchUm <= 0.0) return vec3(mirrored);
  vec3 side = cross(normal, tangent);
  float blur = 1.41421356 * alpha;
  vec2 middle = vec2(dot(tangent, towards), dot(side, towards));
  vec2 reach = sqrt(disc * max(vec2(0.01), 1.0 - middle * middle));
  float u = abs(dot(tangent, sum));
  float v = dot(side, sum);
  float off = min(0.98, abs(v) / reach.y);
  float chord = reach.x * mix(sqrt(1.0 - off * off), 0.78539816, min(1.0, blur / reach.y));
  vec3 orders = vec3(0.0);
  for (int k = 0; k < FEW(3); k++) {
    float perOrder = pitchUm / float(k + 1);
    vec3 deviation = sqrt(CHANNEL_SPREAD_UM * CHANNEL_SPREAD_UM + perOrder * perOrder * blur * blur);
    orders += GRATING_SHARES[k] * withinGaussian(perOrder * u - CHANNEL_MIDDLE_UM, perOrder * chord, deviation);
  }
  vec3 apart = 0.5 * (towards - toEye);
  return gratingMirrors(pitchUm, dot(tangent, apart), dot(side, apart), blur) * mirrored
    + withinGaussian(vec3(v), reach.y, vec3(blur)) * orders;
#endif
}

// BRDF, 1/sr. tint: T² of the lacquer (metal), or T once through (clear sheet).
vec3 facetBrdf(
  Optics optics, vec3 tint, vec3 normal, vec3 tangent, vec3 toLight, vec3 toEye, FacetDirection i, FacetDirection o,
  float alpha
) {
  if (i.cosine <= 0.0 || o.cosine <= 0.0) return vec3(0.0);
  vec3 halfway = normalize(toLight + toEye);
  float cosD = clamp(dot(halfway, toEye), 0.0, 1.0);
  float value = facetDensity(dot(halfway, normal), alpha) * i.entry.x * o.entry.x
    / ((1.0 + facetLambda(i.cosine, alpha) + facetLambda(o.cosine, alpha)) * 4.0 * i.cosine * o.cosine);
  float r = dielectricFresnel(cosD, optics.eta);
  float inner = max(1e-3, refractedCosine(cosD, optics.eta));
  vec3 base = optics.kind == SURFACE_METAL ? metalBase(optics, tint, inner) : r * tint * tint;
  vec3 lobe = vec3(value);
#ifdef GRATINGS
  if (optics.gratingPitchUm > 0.0) {
    vec3 side = cross(normal, tangent);
    vec3 apart = 0.5 * (toLight - toEye);
    float blur = 1.41421356 * alpha;
    lobe *= gratingMirrors(optics.gratingPitchUm, dot(tangent, apart), dot(side, apart), blur);
    lobe += gratingBrdf(optics.gratingPitchUm, toLight + toEye, side, tangent, blur);
  }
#endif
  return lobe * stackReflectance(r, base);
}

// Share of light from a direction that the film returns.
vec3 facetAlbedo(Optics optics, vec3 tint, FacetDirection o) {
  if (optics.kind == SURFACE_CLEAR) return o.entry.z + tint * tint * (o.entry.y - o.entry.z);
  float inner = max(1e-3, refractedCosine(max(0.0, o.cosine), optics.eta));
  return stackReflectance(o.entry.z, metalBase(optics, tint, inner));
}

// Share of light that a clear sheet lets straight through.
vec3 sheetTransmittance(Optics optics, vec3 tint, FacetDirection o) {
  float inner = max(1e-3, refractedCosine(max(0.0, o.cosine), optics.eta));
  return (1.0 - o.entry.y) * pow(max(tint, vec3(1e-4)), vec3(1.0 / inner));
}
