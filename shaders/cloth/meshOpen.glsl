#include "buffers.glsl"

// Of a painted patch's holes the share that is filled, by their width over the pitch: what FILLED_HOLES fills, and beyond gaps the
// mean way from the middle of a hexagon, or of a square, over GAP_GROWS (cloth/mesh.glsl; plane geometry).
const float PAINT_FILLS = 0.1;
const vec2 PAINT_REACHES = vec2(0.27002, 0.29431);

// Share of a layer of net that bars, flakes and paint leave open to light. texel: the first of the net in the material table.
float meshOpen(int texel) {
  vec4 mesh = texelFetch(uMaterialTable, tableAt(texel), 0);
  vec4 more = texelFetch(uMaterialTable, tableAt(texel + 1), 0);
  float width = max(0.0, 1.0 - mesh.z / mesh.y);
  float open = width * width;
  if (more.z > 0.0) open *= 1.0 - min(1.0, 0.785398 * more.z * more.w * more.w);
  float painted = texelFetch(uMaterialTable, tableAt(texel + 2), 0).x;
  return open * (1.0 - painted * (PAINT_FILLS + width * (mesh.x > 1.5 ? PAINT_REACHES.y : PAINT_REACHES.x)));
}
