// The thread beside which a hair was placed, laid straight.
#include "hairPlaced.glsl"

uniform highp ivec4 uHairWhose;  // kind of thread, material, one hair for so many, hairs in all

// Where the thread is that its hair was placed beside, at a place along it, and how it runs; beyond its ends as at the hair's root.
void besideThread(PlacedHair h, inout vec3 at, inout vec3 way) {
  bool isWarp = uHairWhose.x == KIND_WARP;
  int cells = isWarp ? uCount.z : uCount.x;
  Segment s;
  for (int k = 0; k < LOOP(2); k++) {
    int cell = clamp(cellAt(!isWarp, k == 0 ? at.x : h.root.x), 0, cells - 2);
    float lo = isWarp ? lineY(cell) : endX(cell);
    float hi = isWarp ? lineY(cell + 1) : endX(cell + 1);
    if (loadSegment(uHairWhose.x, h.index, cell, lo, hi, s)) break;
  }
  TubePoint centre = tubePointAt(s, clamp((at.x - s.along) / s.pitch, 0.0, 1.0));
  at.yz += centre.centre + vec2(s.side, 0.0);
  way.yz += centre.slope * way.x;
  if (isWarp) {
    at = at.yxz;
    way = way.yxz;
  }
}
