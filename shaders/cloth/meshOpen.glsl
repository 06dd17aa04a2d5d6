#include "buffers.glsl"

// Of a painted patch's holes, the mean share that stays open: full holes, gaps by their circle over the hexagon.
const float LEFT_OPEN = 0.6;

// Share of a layer of net that bars, flakes and paint leave open to light. texel: the first of the net in the material table.
float meshOpen(int texel) {
  vec4 mesh = texelFetch(uMaterialTable, tableAt(texel), 0);
  vec4 more = texelFetch(uMaterialTable, tableAt(texel + 1), 0);
  float open = max(0.0, 1.0 - mesh.z / mesh.y);
  open *= open;
  if (more.z > 0.0) open *= 1.0 - min(1.0, 0.785398 * more.z * more.w * more.w);
  return open * mix(1.0, LEFT_OPEN, texelFetch(uMaterialTable, tableAt(texel + 2), 0).x);
}
