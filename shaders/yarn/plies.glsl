#include "make.glsl"
#include "../scatter/tilt.glsl"

// A yarn's surface beyond its section: strands wound together, plies, fibres at the twist angle, what a strip is made of.
// Procedural from the thread and the place along it. Each term fades out as its period falls to two pixels.

struct YarnSurface {
  vec3 reflectance;  // what the scattering functions take
  vec3 normal;
  vec3 tangent;      // along the fibres, square to the normal
  float open;        // share of the light that reaches between plies
  float lobe;        // width of the surface lobe of all its fibres together, rad; the optics have the width of those seen
  Optics optics;
};

// Fibres lie at an angle to the yarn's axis, turned about the normal.
vec3 fibreTangent(vec3 axis, vec3 normal, float angle) {
  vec3 along = normalize(axis - dot(axis, normal) * normal);
  return cos(angle) * along + sin(angle) * cross(normal, along);
}

// Turns of a film wound on a core, at a place.
float woundAt(ThreadPlace s, float turnsPerMm) {
  return s.around / TURN - s.along * turnsPerMm + 0.618034 * float(s.thread);
}

#ifdef WITH_FACETS
// Film and wire: facets that lean as the thread twists a little, each turn of a wound film by itself; embossed film is ruled in
// patches.
void leanFacets(ThreadPlace s, Optics optics, inout vec3 normal, inout vec3 tangent) {
  if (optics.facetTilt <= 0.0 || optics.kind == SURFACE_FIBRE) return;
  float along = s.along;
  if (optics.fibreAngle != 0.0) along = optics.facetLengthMm * floor(woundAt(s, tan(optics.fibreAngle) / (TURN * s.radius)));
  leanFrame(normal, tangent, facetTilt(s.thread, along, optics.facetLengthMm, optics.facetTilt));
}

void ruleFilm(ThreadPlace s, inout Optics optics, vec3 normal, inout vec3 tangent) {
  if (optics.gratingPatchMm <= 0.0) return;
  vec2 at = vec2(s.along, s.halfSize.x * cos(s.around));
  vec2 ruled = gratingPatch(s.thread, at, s.around < 0.0, optics.gratingPatchMm);
  tangent = cos(ruled.x) * tangent + sin(ruled.x) * cross(normal, tangent);
  optics.gratingPitchUm *= ruled.y;
}
#endif

// A program that is told what its cloth has (TOLD) leaves out what strips and cords are made of, and their folds.
#if defined(RELIEF) || !defined(TOLD)
#define WITH_RELIEF
#endif

const float STEEPEST_RELIEF = 0.9;

// Of a wound film's turn, what it leaves open, and how much darker the matte core is there (estimates).
const float CORE_SHOWS = 0.15;
const float CORE_DARK = 0.75;

// Fibres in a spun yarn's surface keep together in bundles, those in wider ones, each two fifths as wide as the next, down to
// single fibres; a bundle runs so many of its widths before it goes under (estimates from close-ups).
const int FIBRE_SCALES = 3;
const float LEAST_FIBRE_MM = 0.014;
const float FIBRE_WIDTHS = 28.0;
const float FIBRES_SHOW = 2.0;
// How far two sets of them cross, over a fibre's width in its length; what the deepest place between them hides of the light.
const float FIBRES_CROSS = 3.0;
const float FIBRE_DEPTH = 0.8;
// How high what shows lies on the mean (computed).
const float FIBRE_HEIGHT = 0.466;
// Of a round fibre's slope, what is left of it where its like press against it.
const float FIBRE_SLOPE = 0.8;

// Fibres that lie side by side do not lie quite alike: of the surface lobe's variance, what is theirs rather than each one's own,
// three fifths in all, a fifth for each scale of bundles (estimate). Where they are told apart each gleams by itself and the yarn's gloss breaks up in
// streaks.
const float LEAN_VARIANCE = 0.2;

// A place among fibres that lie side by side: slope across; how high it lies, 0..1; how far the fibre leans within the surface, in
// standard deviations.
struct Lying {
  float slope;
  float height;
  float lean;
};

// Each comes up from under its neighbours and goes under again, in two sets that cross a little; the higher one shows.
// at: across, of so many fibres round the thread, and along, of their lengths.
Lying fibresAt(vec2 at, float lanes, int seed) {
  Lying found = Lying(0.0, 0.0, 0.0);
  float askew = FIBRES_CROSS * at.y;
  // Unrolled: 0.1 ms of a frame.
  for (int k = 0; k < 2; k++) {
    float x = at.x + askew;
    // By its middle: what is left over from whole turns is then never a rounding away from a turn.
    uint lane = uint(mod(floor(x) + 0.5, lanes));
    vec3 u = unitFromHash(hash3(uvec3(lane, uint(seed), uint(k))));
    float y = at.y + u.x;
    // Of those that follow one another in a lane each is as high, and leans as far, as falls to it by golden steps.
    vec2 drawn = fract(u.yz + 0.6180339887 * floor(y));
    vec2 within = 2.0 * fract(vec2(x, y)) - 1.0;
    vec2 crown = 1.0 - vec2(0.7, 1.0) * within * within;
    float height = (0.35 + 0.65 * drawn.x) * crown.x * crown.y;
    if (height > found.height) found = Lying(-FIBRE_SLOPE * within.x, height, 3.4641016 * drawn.y - 1.7320508);
    askew = -askew;
  }
  return found;
}

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
#ifdef MESH
  if (s.part >= 0) strandFade = 1.0;
#endif
  r.reflectance = mix(second.yzw, faceColour(s, texel, winding, max(1.0, header.y), turnsPerMm, pixelMm), strandFade);
  float fibreAngle = r.optics.fibreAngle;
  r.lobe = r.optics.surfaceWidth;
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
  if (s.part >= 0) {
    r.tangent = fibreTangent(s.axis, r.normal, 0.0);
    r.optics.facetTilt = 0.0;
    return r;
  }
#endif

#ifdef WITH_RELIEF
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
  } else
#endif
  if ((strand || !strip) && (r.optics.kind == SURFACE_FIBRE || header.y > 1.5)) {
    float lobes = strand ? 1.0 : max(header.y, strands > 1 ? header.x : 1.0);
    float ply = winding * lobes;
    bool plied = lobes > 1.5;
    if (plied) {
      float shown = fadeOut(girth * squeeze / lobes, pixelMm);
      // -1..1 across a ply; the groove between round plies is steep and dark.
      float x = 2.0 * fract(ply) - 1.0;
      // A round ply's own slope, up to where the next one leans against it.
      r.normal = normalize(r.normal + acrossFibre * (0.9 * shown * x * inversesqrt(1.6 - x * x)));
      r.open *= 1.0 - 0.55 * shown * pow(abs(x), 6.0);
    }
    // Fibres of a single wind with its twist, those of balanced plies run along the yarn and across each ply.
    int seed = s.thread * 64 + int(mod(floor(ply) + 0.5, lobes));
    float laid = plied ? s.around / TURN : winding;
    vec3 acrossFibres = plied ? around : acrossFibre;
    float narrow = plied ? girth : girth * squeeze;
    float run = s.along / (TURN * s.radius);
    // Twisted wires and film have no fibres.
    float relief = r.optics.kind == SURFACE_FIBRE ? r.optics.facetTilt : 0.0;
    // Strands that drafting left side by side.
    float shown = relief * fadeOut(FIBRES_SHOW * narrow / float(LEAST_BUNDLES), pixelMm);
    if (shown > 0.0) {
      vec3 coarse = wrappedNoiseRise(float(LEAST_BUNDLES) * vec2(laid, run / BUNDLE_WIDTHS), LEAST_BUNDLES, seed);
      r.normal = normalize(r.normal - acrossFibres * (0.4 * shown * coarse.y));
      r.open *= 1.0 - 0.16 * shown * (0.5 - coarse.x);
      // And what they are made of: bundles, finer ones in those, down to fibres.
      float lanes = float(2 * LEAST_BUNDLES);
      // Of their leaning.
      vec2 seen = vec2(0.0);
      for (int scale = 0; scale < LOOP(FIBRE_SCALES); scale++) {
        // Seen through many samples, or as grain, they show a little below two pixels.
        float near = fadeOut(FIBRES_SHOW * narrow / lanes, pixelMm);
        shown = relief * near;
        if (shown <= 0.0 || narrow < LEAST_FIBRE_MM * lanes) break;
        Lying lies = fibresAt(vec2(laid, run / FIBRE_WIDTHS) * lanes, lanes, seed + 16 * scale);
        r.normal = normalize(r.normal - acrossFibres * (shown * lies.slope));
        r.open *= 1.0 - shown * FIBRE_DEPTH * (FIBRE_HEIGHT - lies.height);
        seen += near * vec2(lies.lean, near);
        lanes *= 2.5;
      }
      fibreAngle += sqrt(LEAN_VARIANCE) * r.lobe * seen.x;
      r.optics.surfaceWidth *= sqrt(1.0 - LEAN_VARIANCE * seen.y);
    }
  } else if (!strip && fibreAngle != 0.0) {
    // Film wound on a core, which shows between the turns.
    r.open *= 1.0 - CORE_DARK * fadeOut(CORE_SHOWS * girth * squeeze, pixelMm) * step(fract(woundAt(s, turnsPerMm)), CORE_SHOWS);
  }
  r.tangent = fibreTangent(s.axis, r.normal, fibreAngle);
  return r;
}
