#include "../scatter/hairPhase.glsl"
#include "hair.glsl"

#ifdef HAIR
// The ray to the window off a hair, or a path's next: evenly over the sphere, since hair scatters over all of it.
// chances: where on the sphere, and whether the path lives.
Asking leaveHair(inout Path p, vec3 chances, bool window, vec3 toWindow, float windowPdf) {
  const float EVENLY = 0.25 / PI;
  vec3 axis = packedHair(p.cell).axis;
  int thread = ownerOf(p.kind, p.index);
  int strand = hairStrandTexel(int(threadTexel(thread).w));
  HairLight h = hairLight(opticsAt(strand), texelFetch(uMaterialTable, tableAt(strand), 0).rgb, axis);
  hairClearMm = hairClearance(thread);

  vec3 toEye = -p.direction;
  float z = 1.0 - 2.0 * chances.x;
  float r = sqrt(max(0.0, 1.0 - z * z));
  vec3 direction = vec3(r * cos(2.0 * PI * chances.y), r * sin(2.0 * PI * chances.y), z);
  Asking ask = Asking(false, p.origin, toWindow, vec3(0.0));
  vec3 phase = vec3(0.0);
  for (int turn = window ? 0 : 1; turn < LOOP(2); turn++) {
    phase = hairPhase(h, toEye, turn == 0 ? toWindow : direction);
    if (turn > 0) break;
    ask.light = p.carried * phase * (PI * uKeyLight * windowPdf / (windowPdf + EVENLY));
    ask.asks = brightest(ask.light) > 0.0;
    if (ask.asks) return ask;
  }
  p.direction = direction;
  p.carried *= phase / EVENLY;
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
