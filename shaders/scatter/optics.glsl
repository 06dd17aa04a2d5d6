// A program that is told what its cloth has (TOLD) leaves film, wire and clear stuff out where there are fibres alone.
#if defined(FACETS) || !defined(TOLD)
#define WITH_FACETS
#endif

// A yarn's optics, three texels of the material table (layout: src/engine/scatter/opticsLayout.ts).

struct Optics {
  int kind;  // SURFACE_FIBRE, SURFACE_METAL, SURFACE_CLEAR
  int block;
  float eta;
  float isotropy;
  float surfaceWidth;  // roughness of film and metal
  float volumeWidth;  // metal's own reflectance at normal incidence
  float fibreAngle;
  float gratingPitchUm;
  float throughShare;
  float gratingPatchMm;
  float facetTilt;  // of fibres, how much of their roundness shows
  float facetLengthMm;
};

Optics readOptics(vec4 a, vec4 b, vec4 c) {
  return Optics(int(a.x), int(a.y), a.z, a.w, b.x, b.y, b.z, b.w, c.x, c.y, c.z, c.w);
}
