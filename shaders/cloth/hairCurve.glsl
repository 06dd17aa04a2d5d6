#include "../common/hash.glsl"
#include "tube.glsl"

#ifdef HAIR
// A hair as the table holds it (hairTable.ts), placed on its thread. Twin: src/engine/packing/walk/hairCurve.ts.
struct HairCurve {
  vec3 root;
  vec3 chord;
  vec3 bow;
};

const float WHOLE_TURN = 6.28318530718;
const uint LATTICE_WORD = 0x6a09e667u;
const float SUNK = 0.95;
// As src/engine/packing/packHair.ts names them.
const float FORM_LOOP = 1.0;
const float FORM_EDGE = 2.0;
const float FORM_WOUND = 3.0;

// A point of a hair whose sector's first side stands towards `side`: place along, height, cosine and sine from there.
vec3 hairPoint(vec4 point, float start, vec2 side, vec2 size, float share, float squash, bool isEdge) {
  vec2 way = vec2(point.z * side.x - point.w * side.y, point.w * side.x + point.z * side.y);
  vec2 scaled = way / size;
  vec2 body = isEdge ? vec2(-size.x * side.y, 0.0) : way * inversesqrt(dot(scaled, scaled));
  return vec3(start + point.x, share * body + squash * point.y * way);
}

HairCurve placeHair(int texel, vec4 root, float start, vec2 side, vec2 size, float squash, bool isEdge) {
  vec4 bend = texelFetch(uMaterialTable, tableAt(texel + 1), 0);
  vec4 tip = texelFetch(uMaterialTable, tableAt(texel + 2), 0);
  HairCurve c;
  // A loop comes out of the body from as deep as it goes back to.
  c.root = hairPoint(vec4(root.x, min(0.0, tip.y), root.zw), start, side, size, SUNK, 1.0, isEdge);
  vec3 control = hairPoint(bend, start, side, size, 1.0, squash, isEdge);
  vec3 last = hairPoint(tip, start, side, size, 1.0, squash, isEdge);
  c.bow = 0.5 * (control - 0.5 * (c.root + last));
  c.chord = last - c.root;
  return c;
}

// A sector's number from 0 on, of one counted up to three turns either way: what % leaves of less than 0 GLSL does not say, and
// drivers differ.
int sectorAround(int sector, int sectors) {
  return (sector + 4 * sectors) % sectors;
}

// How much more stands in a sector than on average: pile leaves both sides of the twisted core; of a cloth brushed on one side
// more stands on that (`sides` of packHair.ts). middle: the sector's, rad.
float crowdAt(float sides, float middle, float along) {
  if (sides == 0.0) return 1.0;
  if (sides < SIDED_BELOW) return 1.0 + (SIDED - sides) * sign(sin(middle));
  return 1.0 + RIDGE_DEPTH * cos(2.0 * (middle - WHOLE_TURN * sides * along));
}

// By how much pile is pressed where its thread is.
float squashOf(Segment s, vec2 size, float full) {
  return full > 0.0 ? min(1.0, (size.x + size.y) / (s.hair.z * full * (s.contact.x + s.contact.y))) : 1.0;
}

vec2 centreBeside(Segment s, float u) {
  float q = u * (1.0 - u);
  return vec2(
    s.o.x + u * (s.o.y + u * (s.o.z + u * s.o.w)),
    s.z.x + u * (s.z.y + u * (s.z.z + u * s.z.w)) + q * q * (s.wrap.x + u * s.wrap.y)
  );
}

vec2 sizeAt(Segment s, float u) {
  return s.section.xz + u * u * (3.0 - 2.0 * u) * s.section.yw;
}
#endif
