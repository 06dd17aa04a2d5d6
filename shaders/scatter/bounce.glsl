#include "sample.glsl"

// A surface met by a path: light from a direction, and directions to look for light in.
//
// Bent normals (plies, fibres, leaning facets) send some light below the section's own surface. It is thrown back up,
// mirrored in the tangent plane: none is lost and none leaks through, so the furnace holds; evaluation and density both
// count a direction and its mirror image. The price is reciprocity, which bent normals do not have in any case.

struct Bounce {
  Optics optics;
  vec3 reflectance;
  vec3 geometric;    // the section's own normal, on the eye's side
  ScatterView view;
  vec3 chances;      // surface lobe, volume lobe, evenly; of film: facets, -, evenly
  vec3 behind;       // the same of what goes to the far side
  float through;     // chance of going to the far side
  vec3 straight;     // what a clear sheet lets straight on
  vec3 all;          // share of an even room's light that comes back, through included
};

// Light scattered per irradiance square on, times the cosine; density per steradian of sampleBounce.
struct BounceValue {
  vec3 scattered;
  float pdf;
};

float brightest(vec3 c) {
  return max(c.r, max(c.g, c.b));
}

Bounce bounceAt(Optics optics, vec3 reflectance, vec3 geometric, vec3 normal, vec3 tangent, vec3 toEye) {
  Bounce b;
  b.optics = optics;
  b.reflectance = reflectance;
  b.geometric = geometric;
  b.view = scatterView(optics, normal, tangent, toEye, 0.0);
  vec3 through;
#ifdef LAMBERT
  b.all = reflectance;
  b.chances = vec3(0.0, 0.0, 1.0);
  b.through = 0.0;
  b.straight = vec3(0.0);
#else
  Scattered back = scatterAlbedo(optics, reflectance, b.view, through);
  b.all = back.surface + back.volume + through;
  b.through = min(0.95, brightest(through) / max(1e-6, brightest(b.all)));
  b.straight = vec3(0.0);
  b.chances = lobeChances(optics, back.surface.x, brightest(reflectance));
#ifdef WITH_FACETS
  if (optics.kind != SURFACE_FIBRE) {
    b.straight = through;
    b.chances = optics.gratingPitchUm > 0.0 ? vec3(0.6, 0.0, 0.4) : vec3(1.0, 0.0, 0.0);
  }
#endif
  b.behind = vec3(0.0, b.chances.yz / max(1e-6, b.chances.y + b.chances.z));
#endif
  return b;
}

// One of the two directions that count as one, on the front (above) or the far side.
BounceValue bounceTowards(Bounce b, vec3 toLight, bool front) {
  vec3 n = b.view.normal;
  vec3 l = front ? toLight : toLight - 2.0 * dot(toLight, n) * n;
  float cosine = dot(n, l);
  if (cosine <= 0.0) return BounceValue(vec3(0.0), 0.0);
#ifdef LAMBERT
  return BounceValue(b.reflectance * (cosine / 3.14159265), cosine / 3.14159265);
#else
#ifdef WITH_FACETS
  if (b.optics.kind != SURFACE_FIBRE) {
    // A sheet passes light straight on only, which no direction looked for will find.
    if (!front) return BounceValue(vec3(0.0), 0.0);
    float alpha = b.view.spread;
    FacetDirection i = facetDirection(b.optics, n, l, alpha);
    vec3 f = facetBrdf(b.optics, b.reflectance, n, b.view.tangent, l, b.view.toEye, i, b.view.facet, alpha);
    float cosineH = dot(n, normalize(l + b.view.toEye));
    float pdf = b.chances.x * facetPdf(cosineH, max(1e-4, b.view.facet.cosine), alpha) + b.chances.z * cosine / 3.14159265;
    return BounceValue(cosine * f, (1.0 - b.through) * pdf);
  }
#endif
  FibreDirection i = fibreDirection(b.optics, n, b.view.tangent, l, b.view.spread);
  vec2 f = fibreBrdf(b.optics, i, b.view.fibre, b.view.spread);
  vec3 c = front ? b.chances : b.behind;
  float pdf = (front ? 1.0 - b.through : b.through) * fibrePdf(b.optics, c, i, b.view.fibre, b.view.spread);
  vec3 volume = f.y * b.reflectance;
  float share = b.optics.throughShare;
  return BounceValue(cosine * (front ? vec3(f.x) + (1.0 - share) * volume : share * volume), pdf);
#endif
}

// A direction out of the surface; false: straight on through a clear sheet. u: four for the direction, one for the side.
bool sampleBounce(Bounce b, vec4 u, float side, out vec3 direction) {
  vec3 n = b.view.normal;
  bool front = side >= b.through;
  direction = vec3(0.0);
#ifdef WITH_FACETS
  bool facets = b.optics.kind != SURFACE_FIBRE && b.chances.x >= 1e-6;
#else
  const bool facets = false;
#endif
  if (!facets) {
#ifdef LAMBERT
    float sine = sqrt(u.x);
    float turn = 6.28318531 * u.y;
    vec3 across = cross(n, b.view.tangent);
    direction = sine * (cos(turn) * b.view.tangent + sin(turn) * across) + sqrt(1.0 - u.x) * n;
#else
    vec3 c = front ? b.chances : b.behind;
    direction = sampleFibre(b.optics, n, b.view.tangent, c, b.view.fibre, b.view.spread, u);
    if (!front) direction -= 2.0 * dot(direction, n) * n;
#endif
#ifdef WITH_FACETS
  } else {
    if (!front) return false;
    if (u.w < b.chances.x) {
      direction = reflect(-b.view.toEye, sampleFacet(n, b.view.tangent, b.view.toEye, b.view.spread, u.xy));
      // Facets throw some light below their own surface; scale factors have brought it back already.
      if (dot(direction, n) <= 0.0) direction = vec3(0.0);
    } else {
      float sine = sqrt(u.x);
      float turn = 6.28318531 * u.y;
      vec3 across = cross(n, b.view.tangent);
      direction = sine * (cos(turn) * b.view.tangent + sin(turn) * across) + sqrt(1.0 - u.x) * n;
    }
#endif
  }
  // Thrown back to the side that it was meant for.
  float above = dot(direction, b.geometric);
  if (front ? above < 0.0 : above > 0.0) direction -= 2.0 * above * b.geometric;
  return true;
}
