// Light on any yarn surface: one evaluation for fibres, film and clear stuff.
#include "facet.glsl"
#include "fibre.glsl"

// What is needed of the eye's direction, once a pixel.
struct ScatterView {
  vec3 toEye;
  vec3 normal;
  vec3 tangent;
  // Standard deviation of tilt within the pixel, rad; of facets, their roughness.
  float spread;
  FibreDirection fibre;
  FacetDirection facet;
};

struct Scattered {
  vec3 surface;  // in the light's own colour, or film's
  vec3 volume;  // the yarn's colour taken on already
};

// reflectance: fibreReflectance, or the tint of lacquer or film.
ScatterView scatterView(Optics optics, vec3 normal, vec3 tangent, vec3 toEye, float tilt) {
  ScatterView view;
  view.toEye = toEye;
  view.normal = normal;
  view.tangent = tangent;
  view.fibre = FibreDirection(0.0, 1.0, 1.0, 0.0, vec4(0.0));
  view.facet = FacetDirection(1.0, vec4(0.0));
#ifdef WITH_FACETS
  if (optics.kind != SURFACE_FIBRE) {
    view.spread = facetRoughness(optics, tilt);
    view.facet = facetDirection(optics, normal, toEye, view.spread);
    return view;
  }
#endif
  view.spread = tilt;
  view.fibre = fibreDirection(optics, normal, tangent, toEye, tilt);
  return view;
}

// BRDF of fibres; with another tilt than the view's, which only what the table says of the eye depends on.
Scattered scatterFibre(Optics optics, vec3 reflectance, ScatterView view, vec3 toLight, float tilt) {
  FibreDirection o = view.fibre;
  if (tilt != view.spread) o.entry = fibreEntry(optics, o, tilt);
  vec2 f = fibreBrdf(optics, fibreDirection(optics, view.normal, view.tangent, toLight, tilt), o, tilt);
  return Scattered(vec3(f.x), (1.0 - optics.throughShare) * f.y * reflectance);
}

// Shares of an even room's light that come back; what a clear sheet lets straight through in `through`.
Scattered scatterAlbedo(Optics optics, vec3 reflectance, ScatterView view, out vec3 through) {
  through = vec3(0.0);
#ifdef WITH_FACETS
  if (optics.kind != SURFACE_FIBRE) {
    if (optics.kind == SURFACE_CLEAR) through = sheetTransmittance(optics, reflectance, view.facet);
    return Scattered(facetAlbedo(optics, reflectance, view.facet), vec3(0.0));
  }
#endif
  vec2 e = fibreAlbedo(view.fibre);
  through = optics.throughShare * e.y * reflectance;
  return Scattered(vec3(e.x), (1.0 - optics.throughShare) * e.y * reflectance);
}
