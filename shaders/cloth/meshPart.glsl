// What of an open strip a ray met, told by the section's swell in the picture buffer, which bars have no use for.
#ifdef MESH
const float MESH_CORE = 0.75;  // what the strip is wound about
const float MESH_BAR = 1.0;
const float MESH_PAINT = 1.5;
const float MESH_GLITTER = 2.0;

bool isMesh(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + MESH_TEXEL), 0).x > 0.5;
}

// Which of the thread's faces shows there: bars', the next two are paint's and glitter's; -1: one of its strands.
int meshPartFace(int material, float swell) {
  vec4 stuck = texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + MESH_TEXEL + 2), 0);
  return stuck.w > 0.5 && swell > 0.9 ? int(stuck.z + 2.0 * swell - 1.9) : -1;
}
#endif
