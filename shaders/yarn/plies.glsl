#include "../common/hash.glsl"
#include "../scatter/optics.glsl"
#include "../scatter/tilt.glsl"

// A yarn's surface beyond its section: strands wound together, plies, fibres at the twist angle. Procedural from the
// thread and the place along it. Each term fades out as its period falls to two pixels.

const float TURN = 6.283185307179586;

// A place on a thread's surface.
struct ThreadPlace {
  vec3 normal;
  vec3 axis;      // along the thread
  float around;   // angle about the axis, growing as a right-handed screw turns
  float along;    // mm along the thread
  vec2 halfSize;  // semi-axes here, mm
  float radius;   // of the thread where it is pressed, the same all along it
  int material;
  int thread;     // row * 2, or end * 2 + 1
};

ThreadPlace threadPlaceAt(int kind, int index, vec3 at, vec3 normal, vec3 axis, float swell) {
  ThreadPlace r;
  r.normal = normal;
  r.axis = axis;
  r.thread = ownerOf(kind, index);
  r.along = kind == KIND_WARP ? at.y : at.x;
  if (kind == KIND_EXTRA) {
    vec3 from = texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS), 0).xyz;
    // A thread's end runs out of the cloth, against or with the thread's own sense.
    vec2 away = at.xy - from.xy;
    bool isWarp = (r.thread & 1) == 1;
    r.along = isWarp ? from.y + sign(away.y) * length(away) : from.x + sign(away.x) * length(away);
  }
  vec4 thread = threadTexel(r.thread);
  r.halfSize = swell * thread.yz;
  r.radius = 0.5 * (thread.y + thread.z);
  r.material = int(thread.w);
  // On an ellipse the normal is the place over the squared semi-axes.
  vec3 level = normalize(vec3(-axis.y, axis.x, 0.0));
  r.around = atan(dot(normal, cross(axis, level)) * thread.z, dot(normal, level) * thread.y);
  return r;
}

struct YarnSurface {
  vec3 reflectance;  // what the scattering functions take
  vec3 normal;
  vec3 tangent;      // along the fibres, square to the normal
  float open;        // share of the light that reaches between plies
  Optics optics;
};

float fadeOut(float periodMm, float pixelMm) {
  return smoothstep(1.0, 2.0, periodMm / max(2.0 * pixelMm, 1e-6));
}

// Smooth noise, 0..1, over a plane that wraps every `period` in x.
float wrappedNoise(vec2 at, int period, int seed) {
  vec2 cell = floor(at);
  vec2 f = at - cell;
  f = f * f * (3.0 - 2.0 * f);
  int x0 = int(cell.x) % period;
  x0 += x0 < 0 ? period : 0;
  int x1 = (x0 + 1) % period;
  int y0 = int(cell.y);
  float v00 = unitFromHash(hash3(uvec3(uint(x0), uint(y0), uint(seed)))).x;
  float v10 = unitFromHash(hash3(uvec3(uint(x1), uint(y0), uint(seed)))).x;
  float v01 = unitFromHash(hash3(uvec3(uint(x0), uint(y0 + 1), uint(seed)))).x;
  float v11 = unitFromHash(hash3(uvec3(uint(x1), uint(y0 + 1), uint(seed)))).x;
  return mix(mix(v00, v10, f.x), mix(v01, v11, f.x), f.y);
}

// Fibres lie at an angle to the yarn's axis, turned about the normal.
vec3 fibreTangent(vec3 axis, vec3 normal, float angle) {
  vec3 along = normalize(axis - dot(axis, normal) * normal);
  return cos(angle) * along + sin(angle) * cross(normal, along);
}

// How far a thread's section turns its winding at a place; start differs from thread to thread.
float windingAt(ThreadPlace s, float turnsPerMm) {
  float start = unitFromHash(hash3(uvec3(uint(s.thread), 77u, 3u))).x;
  return s.around / TURN - s.along * turnsPerMm + start;
}

int strandTexel(ThreadPlace s, vec4 header) {
  int strands = int(header.x);
  int strand = clamp(int(floor(fract(windingAt(s, header.z)) * header.x)), 0, strands - 1);
  return s.material * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + strand * STRAND_TEXELS;
}

Optics opticsAt(int texel) {
  return readOptics(
    texelFetch(uMaterialTable, tableAt(texel + 1), 0),
    texelFetch(uMaterialTable, tableAt(texel + 2), 0),
    texelFetch(uMaterialTable, tableAt(texel + 3), 0)
  );
}

// Film and wire: facets that lean as the thread twists a little.
void leanFacets(ThreadPlace s, Optics optics, inout vec3 normal, inout vec3 tangent) {
  if (optics.facetTilt <= 0.0) return;
  leanFrame(normal, tangent, facetTilt(s.thread, s.along, optics.facetLengthMm, optics.facetTilt));
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
  r.reflectance = mix(second.yzw, texelFetch(uMaterialTable, tableAt(texel), 0).rgb, strandFade);

  if (!strip && r.optics.kind == SURFACE_FIBRE) {
    float lobes = max(header.y, strands > 1 ? header.x : 1.0);
    if (lobes > 1.5) {
      float shown = fadeOut(girth * squeeze / lobes, pixelMm);
      // -1..1 across a ply; the groove between round plies is steep and dark.
      float x = 2.0 * fract(winding * lobes) - 1.0;
      r.normal = normalize(r.normal + acrossFibre * (0.75 * shown * x));
      r.open *= 1.0 - 0.45 * shown * pow(abs(x), 6.0);
    }
    // Bundles of fibres, about a fourteenth of the girth wide and several diameters long.
    const int BUNDLES = 14;
    const float STEP = 0.35;
    const float STEEP = 1.7;
    float shown = fadeOut(girth * squeeze / float(BUNDLES), pixelMm);
    if (shown > 0.0) {
      vec2 at = vec2((winding + s.along * turnsPerMm * (1.0 - STEEP)) * float(BUNDLES), s.along / (5.0 * s.radius));
      int seed = s.thread;
      float here = wrappedNoise(at, BUNDLES, seed) + 0.5 * wrappedNoise(2.0 * at, 2 * BUNDLES, seed + 7919);
      at.x += STEP;
      float beside = wrappedNoise(at, BUNDLES, seed) + 0.5 * wrappedNoise(2.0 * at, 2 * BUNDLES, seed + 7919);
      r.normal = normalize(r.normal - acrossFibre * (0.5 * shown * (beside - here) / STEP));
      r.open *= 1.0 - 0.16 * shown * (0.75 - here);
    }
  }
  r.tangent = fibreTangent(s.axis, r.normal, r.optics.fibreAngle);
  leanFacets(s, r.optics, r.normal, r.tangent);
  return r;
}
