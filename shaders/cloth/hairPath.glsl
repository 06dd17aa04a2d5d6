#include "../scatter/hairPhase.glsl"
#include "hair.glsl"

#ifdef HAIR
// A hair's surface in a path's word for the cell, below 0: its direction to 10 bits a side (0.15 degrees), and its normal's
// turn about that to 11.
int packHair(Surface hair) {
  uvec2 q = uvec2(octahedral(hair.axis) * 1023.0 + 0.5);
  mat3 basis = basisAbout(fromOctahedral(vec2(q) / 1023.0));
  float turn = atan(dot(hair.normal, basis[1]), dot(hair.normal, basis[0])) / (2.0 * PI);
  return -1 - int(q.x | (q.y << 10u) | (uint(2048.0 * fract(turn + 1.0)) & 2047u) << 20u);
}

Surface packedHair(int cell) {
  uint packed = uint(-1 - cell);
  vec3 axis = fromOctahedral(vec2(float(packed & 1023u), float((packed >> 10u) & 1023u)) / 1023.0);
  float turn = 2.0 * PI * (float(packed >> 20u) + 0.5) / 2048.0;
  mat3 basis = basisAbout(axis);
  return Surface(cos(turn) * basis[0] + sin(turn) * basis[1], axis, hairSwell(0.0));
}

// A path's next ray off a hair, and the one to the window: evenly over the sphere, since hair scatters over all of it.
// chances: where on the sphere, and whether the path lives.
Asking leaveHair(inout Path p, vec3 chances, vec3 toWindow, float windowPdf) {
  const float EVENLY = 0.25 / PI;
  vec3 axis = packedHair(p.cell).axis;
  int thread = ownerOf(p.kind, p.index);
  int strand = hairStrandTexel(int(threadTexel(thread).w));
  HairLight h = hairLight(opticsAt(strand), texelFetch(uMaterialTable, tableAt(strand), 0).rgb, axis);
  hairClearMm = hairClearance(thread);

  vec3 toEye = -p.direction;
  vec3 light = hairPhase(h, toEye, toWindow);
  Asking ask;
  ask.light = p.carried * light * (PI * uKeyLight * windowPdf / (windowPdf + EVENLY));
  ask.asks = uKeyLight > 0.0 && brightest(ask.light) > 0.0;
  ask.origin = p.origin;
  ask.direction = toWindow;

  float z = 1.0 - 2.0 * chances.x;
  float r = sqrt(max(0.0, 1.0 - z * z));
  p.direction = vec3(r * cos(2.0 * PI * chances.y), r * sin(2.0 * PI * chances.y), z);
  p.carried *= hairPhase(h, toEye, p.direction) / EVENLY;
  p.pdf = EVENLY;
  p.bounces++;
  p.sheet = false;
  p.stage = OFF_A_HAIR;
  p.cell = floatBitsToInt(hairClearMm);
  if (p.bounces >= ROULETTE_FROM) {
    float lives = min(1.0, brightest(p.carried));
    p.carried = chances.z < lives ? p.carried / lives : vec3(0.0);
  }
  return ask;
}

#endif
