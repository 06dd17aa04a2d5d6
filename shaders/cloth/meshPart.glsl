// What of an open strip a ray met, told by the section's swell in the picture buffer, which bars have no use for.
#ifdef MESH
const float MESH_BAR = 1.0;
const float MESH_PAINT = 1.5;
const float MESH_GLITTER = 2.0;

bool isMesh(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + MESH_TEXEL), 0).x > 0.5;
}

// Which of the thread's faces shows there; 0: its own.
int meshPartFace(int material, float swell) {
  if (!isMesh(material) || swell < 1.25) return 0;
  vec4 stuck = texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + MESH_TEXEL + 2), 0);
  return int(swell > 1.75 ? stuck.z : stuck.w);
}
#endif
