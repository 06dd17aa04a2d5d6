#include "buffers.glsl"

// Of a painted patch's holes the share that is filled, by their width over the pitch: what FILLED_HOLES fills, and beyond gaps the
// mean way from the middle of a hexagon, or of a square, over GAP_GROWS (cloth/mesh.glsl; plane geometry).
const float PAINT_FILLS = 0.1;
const vec2 PAINT_REACHES = vec2(0.27002, 0.29431);

// How often two layers are painted alike at one place, by how far their patches have wandered from one another over a patch's length:
// two that are folded about the edge that they share by RAGGED.x for holes alone, any others by RAGGED.y besides. Means of what is
// left of a patch, max(0, 1 - way), over ways that are a triangle's; for the others holes' own wandering adds little
// (tests/browser/meshWalk.browser.test.ts counts both).
const vec2 PAINTED_ALIKE = vec2(0.8, 0.34);

// Share of light that so many layers of net, bars, flakes and paint, let through on average; `folded`: how many pairs of them share an
// edge. texel: the first of the net in the material table. Bars and flakes of one layer stand before those of another by chance;
// paint that is alike on two lets more through than chance would. Two layers right, more by the mean of their pairs.
float meshPasses(int texel, float layers, float folded) {
  vec4 mesh = texelFetch(uMaterialTable, tableAt(texel), 0);
  vec4 more = texelFetch(uMaterialTable, tableAt(texel + 1), 0);
  float width = max(0.0, 1.0 - mesh.z / mesh.y);
  float bare = width * width;
  if (more.z > 0.0) bare *= 1.0 - min(1.0, 0.785398 * more.z * more.w * more.w);
  float share = texelFetch(uMaterialTable, tableAt(texel + 2), 0).x;
  float filled = PAINT_FILLS + width * (mesh.x > 1.5 ? PAINT_REACHES.y : PAINT_REACHES.x);
  float apart = pow(bare * (1.0 - share * filled), layers);
  if (share <= 0.0 || layers < 1.5) return apart;
  float alike = pow(bare, layers) * mix(1.0, pow(1.0 - filled, layers), share);
  float pairs = 0.5 * layers * (layers - 1.0);
  return mix(apart, alike, mix(PAINTED_ALIKE.y, PAINTED_ALIKE.x, folded / pairs));
}
