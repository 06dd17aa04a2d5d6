#include "../scatter/hairPhase.glsl"
#include "hair.glsl"

#ifdef HAIR
// A path's next ray off a hair, and the one to the window: evenly over the sphere, since hair scatters over all of it.
Asking leaveHair(inout Path p) {
  const float EVENLY = 0.25 / PI;
  float windowPdf = 1.0 / (2.0 * PI * (1.0 - uKeyCosHalfAngle));
  uint packed = uint(-1 - p.cell);
  vec3 axis = fromOctahedral(vec2(float(packed & 4095u), float(packed >> 12u)) / 4095.0);
  int thread = ownerOf(p.kind, p.index);
  int strand = hairStrandTexel(int(threadTexel(thread).w));
  HairLight h = hairLight(opticsAt(strand), texelFetch(uMaterialTable, tableAt(strand), 0).rgb, axis);
  hairClearMm = hairClearance(thread);

  vec3 toEye = -p.direction;
  vec3 a = randoms(p, 0u, EVEN_A);
  vec3 b = randoms(p, 1u, EVEN_B);
  vec3 c = randoms(p, 2u, EVEN_C);
  p.surfaces++;
  vec3 toWindow = uKeyTowards;
  float cosine = mix(1.0, uKeyCosHalfAngle, c.x);
  float sine = sqrt(max(0.0, 1.0 - cosine * cosine));
  if (uKeyLight > 0.0) {
    toWindow = basisAbout(uKeyTowards) * vec3(sine * cos(2.0 * PI * c.y), sine * sin(2.0 * PI * c.y), cosine);
  }
  vec3 light = hairPhase(h, toEye, toWindow);
  Asking ask;
  ask.light = p.carried * light * (PI * uKeyLight * windowPdf / (windowPdf + EVENLY));
  ask.asks = uKeyLight > 0.0 && brightest(ask.light) > 0.0;
  ask.origin = p.origin;
  ask.direction = toWindow;

  float z = 1.0 - 2.0 * a.x;
  float r = sqrt(max(0.0, 1.0 - z * z));
  p.direction = vec3(r * cos(2.0 * PI * a.y), r * sin(2.0 * PI * a.y), z);
  p.carried *= hairPhase(h, toEye, p.direction) / EVENLY;
  p.pdf = EVENLY;
  p.bounces++;
  p.sheet = false;
  p.stage = OFF_A_HAIR;
  p.cell = floatBitsToInt(hairClearMm);
  if (p.bounces >= ROULETTE_FROM) {
    float lives = min(1.0, brightest(p.carried));
    p.carried = b.z < lives ? p.carried / lives : vec3(0.0);
  }
  return ask;
}

// A hair's direction in a path's word for the cell, below 0.
int packedAxis(int kind, vec3 axis) {
  uvec2 q = uvec2(octahedral(kind == KIND_WARP ? axis.yxz : axis) * 4095.0 + 0.5);
  return -1 - int(q.x | (q.y << 12u));
}
#endif
