#include "../yarn/faces.glsl"
#include "../scatter/fresnel.glsl"

// Clear line and film: light goes straight on through them, as through a sheet. In each sample of the picture a line of
// sight is either returned or goes on, by chance, so that the mean shows what lies behind.

// Clear threads, one behind the other, that a line of sight goes through.
const int CLEAR_PASSES = 4;
const float GOES_ON_MM = 2e-3;

bool isClear(int material) {
  int row = material * MATERIAL_TEXELS;
  if (texelFetch(uMaterialTable, tableAt(row), 0).x > 1.5) return false;
  return int(texelFetch(uMaterialTable, tableAt(row + MATERIAL_HEADER_TEXELS + 1), 0).x) == SURFACE_CLEAR;
}

// Of what goes through a rod, the share that is bent too little to look elsewhere than behind it: a ray met at i leaves turned
// by 2 (i - t). A sheet turns none. From about 35 to 70 degrees it comes to look along the cloth (estimate).
float looksBehind(int material, float cosine, float eta) {
  if (texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + 1), 0).x > 0.5) return 1.0;
  float turned = 2.0 * (acos(clamp(cosine, 0.0, 1.0)) - acos(refractedCosine(cosine, eta)));
  return 1.0 - smoothstep(0.6, 1.2, turned);
}

// How often a line of sight goes on: past two faces, all passes between them, (1 - r) / (1 + r); what the stuff takes on the
// way, mean of the channels.
float goesOn(int material, float cosine) {
  int texel = faceTexel(material, 0);
  float eta = texelFetch(uMaterialTable, tableAt(texel + 1), 0).z;
  vec3 tint = texelFetch(uMaterialTable, tableAt(texel), 0).rgb;
  float r = dielectricFresnel(cosine, eta);
  vec3 passes = pow(max(tint, vec3(1e-4)), vec3(1.0 / max(1e-3, refractedCosine(cosine, eta))));
  return dot(passes, vec3(1.0 / 3.0)) * (1.0 - r) / (1.0 + r) * looksBehind(material, cosine, eta);
}
