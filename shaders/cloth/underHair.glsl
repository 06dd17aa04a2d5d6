// What hair leaves of the light for the body that it stands on.

// Share of the light that pile lets through to the core, by how thick it stands over it. radius: of the body, mm.
float throughPile(int material, float radius) {
  int texel = material * MATERIAL_TEXELS + HAIR_TEXEL;
  if (!showsHair(texelFetch(uMaterialTable, tableAt(texel), 0))) return 1.0;
  // Laid side by side, over the body's girth.
  return exp(-texelFetch(uMaterialTable, tableAt(texel + 3), 0).x / (TURN * radius));
}

// Whether hair stands upright on a material.
bool isPile(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + HAIR_TEXEL + 2), 0).w > 0.0;
}

// Share of the light that comes through a body's stray hair, which rays to the light do not look at: its optical depth over
// the radius, somewhat aslant.
float throughStray(int material, float radius) {
  int texel = material * MATERIAL_TEXELS + HAIR_TEXEL;
  if (fract(texelFetch(uMaterialTable, tableAt(texel), 0).y) == 0.0) return 1.0;
  return exp(-1.5 * texelFetch(uMaterialTable, tableAt(texel + 3), 0).y / radius);
}

// Hair that is drawn one by one: it was seen up to a pixel from where its own ray goes, which no light on it tells.
bool isDrawnHair(int kind, int index, float swell) {
  return isHair(swell) && !hairIsStrand(int(threadTexel(ownerOf(kind, index)).w));
}
