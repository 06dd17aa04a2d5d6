#include "../common/hash.glsl"

// A yarn's surface beyond its section: strands wound together, plies, fibres at the twist angle. Procedural from the
// thread and the place along it. Each term fades out as its period falls to two pixels.

// A place on a thread's surface.
struct ThreadPlace {
  vec3 normal;
  vec3 axis;      // along the thread
  float around;   // angle about the axis, growing as a right-handed screw turns
  float along;    // mm along the thread
  vec2 halfSize;  // semi-axes, mm
  int material;
  int thread;     // row * 2, or end * 2 + 1
};

ThreadPlace threadPlaceAt(int kind, int index, vec3 at, vec3 normal, vec3 axis, float swell) {
  ThreadPlace r;
  r.normal = normal;
  r.axis = axis;
  r.thread = index * 2 + (kind == KIND_WARP ? 1 : 0);
  r.along = kind == KIND_WARP ? at.y : at.x;
  if (kind == KIND_EXTRA) {
    vec3 from = texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS), 0).xyz;
    r.thread = int(texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS + 2), 0).w);
    // A thread's end runs out of the cloth, against or with the thread's own sense.
    vec2 away = at.xy - from.xy;
    bool isWarp = (r.thread & 1) == 1;
    r.along = isWarp ? from.y + sign(away.y) * length(away) : from.x + sign(away.x) * length(away);
  }
  vec4 thread = threadTexel(r.thread);
  r.halfSize = swell * thread.yz;
  r.material = int(thread.w);
  // On an ellipse the normal is the place over the squared semi-axes.
  vec3 level = normalize(vec3(-axis.y, axis.x, 0.0));
  r.around = atan(dot(normal, cross(axis, level)) * thread.z, dot(normal, level) * thread.y);
  return r;
}

struct YarnSurface {
  vec3 reflectance;
  vec3 normal;
  float open;  // share of the light that reaches between plies
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

YarnSurface yarnSurface(ThreadPlace s, float pixelMm) {
  const float TURN = 6.283185307179586;
  int row = s.material * MATERIAL_TEXELS;
  vec4 twist = texelFetch(uMaterialTable, tableAt(row), 0);
  bool strip = texelFetch(uMaterialTable, tableAt(row + 1), 0).x > 0.5;
  int strands = int(twist.x);
  float plies = twist.y;
  float turnsPerMm = twist.z;
  float start = unitFromHash(hash3(uvec3(uint(s.thread), 77u, 3u))).x;
  float radius = 0.5 * (s.halfSize.x + s.halfSize.y);
  float girth = TURN * radius;
  // Constant along a fibre: the angle less the turns so far.
  float winding = s.around / TURN - s.along * turnsPerMm + start;
  // Square to the axis on the surface, towards growing angle.
  vec3 around = normalize(cross(s.axis, s.normal));
  float slant = TURN * turnsPerMm * radius;
  vec3 acrossFibre = normalize(around - s.axis * slant);
  float squeeze = inversesqrt(1.0 + slant * slant);

  YarnSurface r;
  r.normal = s.normal;
  r.open = 1.0;
  int strand = 0;
  vec3 mean = vec3(0.0);
  for (int k = 0; k < LOOP(MATERIAL_TEXELS - MATERIAL_HEADER_TEXELS); k++) {
    if (k >= strands) break;
    mean += texelFetch(uMaterialTable, tableAt(row + MATERIAL_HEADER_TEXELS + k), 0).rgb;
  }
  mean /= float(strands);
  strand = int(floor(fract(winding) * float(strands)));
  strand = clamp(strand, 0, strands - 1);
  vec3 own = texelFetch(uMaterialTable, tableAt(row + MATERIAL_HEADER_TEXELS + strand), 0).rgb;
  float strandFade = strands > 1 ? fadeOut(girth * squeeze / float(strands), pixelMm) : 1.0;
  r.reflectance = mix(mean, own, strandFade);

  float lobes = max(plies, strands > 1 ? float(strands) : 1.0);
  if (!strip && lobes > 1.5) {
    float period = girth * squeeze / lobes;
    float shown = fadeOut(period, pixelMm);
    // -1..1 across a ply; the groove between round plies is steep and dark.
    float x = 2.0 * fract(winding * lobes) - 1.0;
    r.normal = normalize(r.normal + acrossFibre * (0.75 * shown * x));
    r.open *= 1.0 - 0.45 * shown * pow(abs(x), 6.0);
  }
  if (!strip) {
    // Bundles of fibres, about a fourteenth of the girth wide and several diameters long.
    const int BUNDLES = 14;
    float period = girth * squeeze / float(BUNDLES);
    float shown = fadeOut(period, pixelMm);
    float steep = 1.7;
    vec2 at = vec2((s.around / TURN - s.along * turnsPerMm * steep + start) * float(BUNDLES), s.along / (5.0 * radius));
    int seed = s.thread;
    const float STEP = 0.35;
    if (shown > 0.0) {
      float here = wrappedNoise(at, BUNDLES, seed) + 0.5 * wrappedNoise(at * vec2(2.0, 2.0), 2 * BUNDLES, seed + 7919);
      float beside = wrappedNoise(at + vec2(STEP, 0.0), BUNDLES, seed)
        + 0.5 * wrappedNoise((at + vec2(STEP, 0.0)) * vec2(2.0, 2.0), 2 * BUNDLES, seed + 7919);
      r.normal = normalize(r.normal - acrossFibre * (0.5 * shown * (beside - here) / STEP));
      r.open *= 1.0 - 0.16 * shown * (0.75 - here);
    }
  }
  return r;
}
