#include "fresnel.glsl"
#include "optics.glsl"

// One fibre in the open: light scattered over the whole sphere. Twin, with sources: src/engine/scatter/hairPhase.ts.
struct HairLight {
  vec3 tangent;
  float surface;     // share returned by the fibre's surface, in the light's own colour
  vec3 within;       // share that passes through or is scattered within
  vec2 variance;     // longitudinal, of surface and within
  float forward;     // of what is within, the share that goes on forwards
};

const float HAIR_PI = 3.14159265;

// I0(x) e^-x (Abramowitz & Stegun 9.8.1 and 9.8.2).
float scaledBessel0(float x) {
  if (x < 3.75) {
    float y = x * x / 14.0625;
    float sum = 1.0 + y * (3.5156229 + y * (3.0899424 + y * (1.2067492 + y * (0.2659732 + y * (0.0360768 + y * 0.0045813)))));
    return sum * exp(-x);
  }
  float y = 3.75 / x;
  float sum = 0.39894228 + y * (0.01328592 + y * (0.00225319 + y * (-0.00157565 + y * (0.00916281
    + y * (-0.02057706 + y * (0.02635537 + y * (-0.01647633 + y * 0.00392377)))))));
  return sum * inversesqrt(x);
}

float longitudinal(float v, float sines, float cosines) {
  return scaledBessel0(cosines / v) * exp((cosines - sines - 1.0) / v) / (v * (1.0 - exp(-2.0 / v)));
}

HairLight hairLight(Optics optics, vec3 reflectance, vec3 tangent) {
  HairLight h;
  h.tangent = tangent;
  h.surface = cylinderReflectance(optics.eta);
  vec3 spread = 1.0 + reflectance;
  h.within = (1.0 - h.surface) * 4.0 * reflectance / (spread * spread);
  float width = clamp(optics.surfaceWidth, 0.12, 0.6);
  h.variance = width * width * vec2(1.0, 4.0);
  h.forward = 1.0 - optics.isotropy;
  return h;
}

// Per steradian, of the light that meets the fibre.
vec3 hairPhase(HairLight h, vec3 toEye, vec3 toLight) {
  float si = clamp(dot(toLight, h.tangent), -1.0, 1.0);
  float so = clamp(dot(toEye, h.tangent), -1.0, 1.0);
  float ci = sqrt(max(0.0, 1.0 - si * si));
  float co = sqrt(max(0.0, 1.0 - so * so));
  float cosPhi = clamp((dot(toEye, toLight) - si * so) / max(1e-6, ci * co), -1.0, 1.0);
  float back = sqrt(0.5 + 0.5 * cosPhi) / 4.0;
  float ahead = (1.0 - cosPhi) * (1.0 - cosPhi) / (3.0 * HAIR_PI);
  float within = mix(0.5 / HAIR_PI, ahead, h.forward);
  return h.surface * back * longitudinal(h.variance.x, si * so, ci * co)
    + h.within * (within * longitudinal(h.variance.y, si * so, ci * co));
}
