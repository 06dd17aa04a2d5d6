// Unpolarised reflectance of a smooth dielectric, from air (Born & Wolf 1.5; form of Cook & Torrance 1982). eta >= 1.
float dielectricFresnel(float cosine, float eta) {
  float c = clamp(cosine, 0.0, 1.0);
  float g = sqrt(eta * eta - 1.0 + c * c);
  float a = (g - c) / max(g + c, 1e-6);
  float b = (c * (g + c) - 1.0) / (c * (g - c) + 1.0);
  return 0.5 * a * a * (1.0 + b * b);
}

float refractedCosine(float cosine, float eta) {
  return sqrt(max(0.0, 1.0 - (1.0 - cosine * cosine) / (eta * eta)));
}

// Mean over the width of a cylinder met square to it, eta 1.3 to 1.8: a quadratic through the exact integral's values,
// within 0.0002 (cylinderReflectance of src/engine/scatter/hairPhase.ts).
float cylinderReflectance(float eta) {
  float x = eta - 1.5;
  return 0.068 + x * (0.1387 + x * 0.0066);
}
