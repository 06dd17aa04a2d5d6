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
