// A bed of parallel fibres; the twin of src/engine/scatter/fibreLobes.ts and fibreBrdf.ts, where the sources are named.
#include "fresnel.glsl"
#include "optics.glsl"
#include "table.glsl"

// A direction against the bed: inclination to the plane square to the fibre, azimuth from the normal about the fibre.
struct FibreDirection {
  float sinTheta;
  float cosTheta;
  float cosPhi;
  float sinPhi;
  // Scale of the surface lobe, scale of the volume lobe, E_s, mean cosine of the surface lobe's light.
  vec4 entry;
};

const float LEAST_COSINE = 1e-4;
const float SAME_AZIMUTH = 8.2070161;
const float INV_SQRT_TWO_PI = 0.39894228;

// Abramowitz & Stegun 4.4.45, |error| <= 7e-5.
float scatterArcsine(float x) {
  float a = min(abs(x), 1.0);
  float p = 1.5707288 + a * (-0.2121144 + a * (0.074261 - a * 0.0187293));
  float angle = 1.57079633 - sqrt(1.0 - a) * p;
  return x < 0.0 ? -angle : angle;
}

float unitGaussian(float x, float width) {
  float y = x / width;
  return INV_SQRT_TWO_PI / width * exp(-0.5 * y * y);
}

// The angles alone. normal and tangent unit and square to each other.
FibreDirection fibreAngles(vec3 normal, vec3 tangent, vec3 direction) {
  FibreDirection d;
  d.sinTheta = clamp(dot(direction, tangent), -1.0, 1.0);
  d.cosTheta = sqrt(max(LEAST_COSINE * LEAST_COSINE, 1.0 - d.sinTheta * d.sinTheta));
  float inverse = 1.0 / d.cosTheta;
  d.cosPhi = dot(direction, normal) * inverse;
  d.sinPhi = dot(direction, cross(normal, tangent)) * inverse;
  d.entry = vec4(0.0);
  return d;
}

vec4 fibreEntry(Optics optics, FibreDirection d, float tilt) {
  return scatterEntry(optics.block, vec3(scatterPlace(d.cosTheta), scatterPlace(d.cosPhi), tiltLevel(tilt)));
}

// With what the table says of it; tilt: standard deviation of fibre tilt in the pixel, rad.
FibreDirection fibreDirection(Optics optics, vec3 normal, vec3 tangent, vec3 direction, float tilt) {
  FibreDirection d = fibreAngles(normal, tangent, direction);
  d.entry = fibreEntry(optics, d, tilt);
  return d;
}

// x: surface lobe, in the light's own colour; y: volume lobe, to be multiplied by fibreReflectance. 1/sr; the light
// scattered is f cos L.
vec2 fibreBrdf(Optics optics, FibreDirection i, FibreDirection o, float tilt) {
  if (i.cosPhi <= 0.0 || o.cosPhi <= 0.0) return vec2(0.0);
  float cosTd2 = max(LEAST_COSINE * LEAST_COSINE, 0.5 * (1.0 + i.cosTheta * o.cosTheta + i.sinTheta * o.sinTheta));
  float cosTd = sqrt(cosTd2);
  float thetaH = scatterArcsine(0.5 * (i.sinTheta + o.sinTheta) / cosTd);
  float cosDelta = clamp(i.cosPhi * o.cosPhi + i.sinPhi * o.sinPhi, -1.0, 1.0);
  float cosHalf = sqrt(0.5 * (1.0 + cosDelta));
  float fresnel = dielectricFresnel(cosTd * cosHalf, optics.eta);
  float same = exp(-SAME_AZIMUTH * (1.0 - cosDelta));
  float bed = (1.0 - same) / max(LEAST_COSINE, i.cosPhi + o.cosPhi) + same / max(LEAST_COSINE, max(i.cosPhi, o.cosPhi));
  bed /= cosTd2;
  float variance = tilt * tilt;
  float surfaceWidth = sqrt(optics.surfaceWidth * optics.surfaceWidth + variance);
  float volumeWidth = sqrt(optics.volumeWidth * optics.volumeWidth + variance);
  float spread = (1.0 - optics.isotropy) * unitGaussian(thetaH, volumeWidth) + optics.isotropy;
  float surface = 0.125 * fresnel * cosHalf * unitGaussian(thetaH, surfaceWidth);
  float volume = (1.0 - fresnel) * (1.0 - fresnel) * spread / max(LEAST_COSINE, i.cosTheta + o.cosTheta);
  return bed * vec2(surface, volume) * i.entry.xy * o.entry.xy;
}

// Share of light from a direction that each lobe returns (the volume lobe's before fibreReflectance).
vec2 fibreAlbedo(FibreDirection o) {
  return vec2(o.entry.z, 1.0 - o.entry.z);
}

// Mean direction of the light that the surface lobe returns, not of unit length (surfaceLobeMean of the twin).
vec3 surfaceLobeMean(vec3 normal, vec3 tangent, FibreDirection o) {
  return o.entry.w * normal - o.sinTheta * tangent + 0.2 * o.sinPhi * o.cosTheta * cross(normal, tangent);
}
