#include "make.glsl"
#include "../scatter/tilt.glsl"

// A yarn's surface beyond its section: strands wound together, plies, fibres at the twist angle, what a strip is made of.
// Procedural from the thread and the place along it. Each term fades out as its period falls to two pixels.

struct YarnSurface {
  vec3 reflectance;  // what the scattering functions take
  vec3 normal;
  vec3 tangent;      // along the fibres, square to the normal
  float open;        // share of the light that reaches between plies
  Optics optics;
};

// Fibres lie at an angle to the yarn's axis, turned about the normal.
vec3 fibreTangent(vec3 axis, vec3 normal, float angle) {
  vec3 along = normalize(axis - dot(axis, normal) * normal);
  return cos(angle) * along + sin(angle) * cross(normal, along);
}

// Film and wire: facets that lean as the thread twists a little; embossed film is ruled in patches.
void leanFacets(ThreadPlace s, Optics optics, inout vec3 normal, inout vec3 tangent) {
  if (optics.facetTilt <= 0.0) return;
  leanFrame(normal, tangent, facetTilt(s.thread, s.along, optics.facetLengthMm, optics.facetTilt));
}

void ruleFilm(ThreadPlace s, inout Optics optics, vec3 normal, inout vec3 tangent) {
  if (optics.gratingPatchMm <= 0.0) return;
  vec2 at = vec2(s.along, s.halfSize.x * cos(s.around));
  vec2 ruled = gratingPatch(s.thread, at, s.around < 0.0, optics.gratingPatchMm);
  tangent = cos(ruled.x) * tangent + sin(ruled.x) * cross(normal, tangent);
  optics.gratingPitchUm *= ruled.y;
}

const float STEEPEST_RELIEF = 0.9;

YarnSurface yarnSurface(ThreadPlace s, float pixelMm) {
  int row = s.material * MATERIAL_TEXELS;
  vec4 header = texelFetch(uMaterialTable, tableAt(row), 0);
  vec4 second = texelFetch(uMaterialTable, tableAt(row + 1), 0);
  bool strip = second.x > 0.5;
  int strands = int(header.x);
  float turnsPerMm = header.z;
  float radius = 0.5 * (s.halfSize.x + s.halfSize.y);
  float girth = TURN * radius;
  float winding = windingAt(s, turnsPerMm);
  // Square to the axis on the surface, towards growing angle.
  vec3 around = normalize(cross(s.axis, s.normal));
  float slant = TURN * turnsPerMm * radius;
  vec3 acrossFibre = normalize(around - s.axis * slant);
  float squeeze = inversesqrt(1.0 + slant * slant);

  YarnSurface r;
  r.normal = s.normal;
  r.open = 1.0;
  int texel = strandTexel(s, header);
  r.optics = opticsAt(texel);
  float strandFade = strands > 1 ? fadeOut(girth * squeeze / header.x, pixelMm) : 1.0;
  r.reflectance = mix(second.yzw, faceColour(s, texel, winding, max(1.0, header.y), turnsPerMm, pixelMm), strandFade);
  float fibreAngle = r.optics.fibreAngle;
#ifdef HAIR
  // A loop's strand, or a frayed thread: a single whose fibres lie along it.
  bool strand = isHair(s.swell);
  if (strand) {
    r.optics.throughShare = 0.0;
    r.optics.fibreAngle = 0.0;
    fibreAngle = 0.0;
  }
#else
  const bool strand = false;
#endif
#ifdef MESH
  // Bars have their own direction and roundness already.
  if (isMesh(s.material)) {
    r.tangent = fibreTangent(s.axis, r.normal, 0.0);
    r.optics.facetTilt = 0.0;
    return r;
  }
#endif

  vec4 make = texelFetch(uMaterialTable, tableAt(texel + 4), 0);
  if (!strand && (make.x > 0.5 || make.w > 0.5)) {
    vec4 cloth = texelFetch(uMaterialTable, tableAt(texel + 6), 0);
    Relief relief = Relief(vec2(0.0), 1.0, 0.0);
    Fold fold = Fold(vec2(0.0), 1.0, vec2(0.0));
    if (make.w > 0.5) fold = foldAt(s, make.w, cloth.z, pixelMm);
    if (make.x > 0.5) relief = makeRelief(s, make, strip ? s.around / TURN : winding, fold.moved, cloth.w, pixelMm);
    relief.slope += fold.slope;
    relief.open *= fold.open;
    // Steeper sides are seen by few eyes and hidden by the next thread.
    vec2 slope = relief.slope * min(1.0, STEEPEST_RELIEF * inversesqrt(max(1e-6, dot(relief.slope, relief.slope))));
    r.normal = normalize(r.normal - slope.x * s.axis - slope.y * around);
    r.open = relief.open;
    fibreAngle += relief.slant;
  } else if ((strand || !strip) && r.optics.kind == SURFACE_FIBRE) {
    float lobes = strand ? 1.0 : max(header.y, strands > 1 ? header.x : 1.0);
    if (lobes > 1.5) {
      float shown = fadeOut(girth * squeeze / lobes, pixelMm);
      // -1..1 across a ply; the groove between round plies is steep and dark.
      float x = 2.0 * fract(winding * lobes) - 1.0;
      // A round ply's own slope, up to where the next one leans against it.
      r.normal = normalize(r.normal + acrossFibre * (0.9 * shown * x * inversesqrt(1.6 - x * x)));
      r.open *= 1.0 - 0.55 * shown * pow(abs(x), 6.0);
    }
    // Strands that drafting left side by side, and the bundles of fibres within them, as wide in a thick yarn as in a thin one.
    const float STEEP = 1.7;
    float turned = winding + s.along * turnsPerMm * (1.0 - STEEP);
    int bundles = max(2 * LEAST_BUNDLES, bundlesOf(girth));
    float shown = fadeOut(girth * squeeze / float(LEAST_BUNDLES), pixelMm);
    if (shown > 0.0) {
      float fineShown = fadeOut(girth * squeeze / float(bundles), pixelMm);
      vec2 lane = vec2(turned, s.along / (BUNDLE_WIDTHS * girth));
      vec3 coarse = wrappedNoiseRise(float(LEAST_BUNDLES) * lane, LEAST_BUNDLES, s.thread);
      vec3 fine = wrappedNoiseRise(float(bundles) * lane, bundles, s.thread + 7919);
      r.normal = normalize(r.normal - acrossFibre * (0.5 * (shown * coarse.y + 0.6 * fineShown * fine.y)));
      r.open *= 1.0 - 0.16 * (shown * (0.5 - coarse.x) + fineShown * (0.25 - 0.5 * fine.x));
    }
  }
  r.tangent = fibreTangent(s.axis, r.normal, fibreAngle);
  return r;
}
