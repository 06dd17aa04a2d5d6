#include "../common/encode.glsl"
#include "light.glsl"
#include "surface.glsl"

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
#endif
