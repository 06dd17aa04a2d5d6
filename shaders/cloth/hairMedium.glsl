#include "hairCurve.glsl"
#include "extraHair.glsl"

#ifdef HAIR
// A thread's hair as a medium: what stands in the light's way on average. Windows are so wide that no single hair throws a
// shadow of its own (packHair.ts has the density).
struct HairShell {
  float depth;   // optical depth over mm of radius
  float thins;   // height over which it thins out by e, mm; 0: it stands alike
  float reach;   // mm
  bool isEdge;
  float onFace;  // how much more stands on the face's half than on the back's, -1..1
};

HairShell hairShell(Segment s, vec2 size) {
  vec4 density = texelFetch(uMaterialTable, tableAt(s.hairTexel + 3), 0);
  float full = texelFetch(uMaterialTable, tableAt(s.hairTexel + 2), 0).w;
  bool isEdge = texelFetch(uMaterialTable, tableAt(s.hairTexel + 1), 0).w == FORM_EDGE;
  float reach = density.z > 0.0 ? min(s.hair.x, MEDIUM_SCALES * density.z) : s.hair.x;
  float onFace = density.w < SIDED_BELOW ? SIDED - density.w : 0.0;
  return HairShell(density.y, density.z, reach * squashOf(s, size, full), isEdge, onFace);
}

// Optical depth to a mm at a place beside the centre line, as if hair ended nowhere; within the body as on it. inside: how far
// below the height where hair ends, mm.
float hairDensityOnwards(HairShell h, vec2 at, vec2 size, out float inside) {
  float radius = max(length(at), 1e-4);
  vec2 scaled = at / (radius * size);
  float body = inversesqrt(dot(scaled, scaled));
  float high = max(0.0, radius - body);
  inside = h.reach - high;
  float here = h.thins > 0.0 ? exp(-high / h.thins) / h.thins : 1.0 / h.reach;
  // Frayed threads stand off the edges: as the fourth power of the cosine from there, whose mean is 3/8.
  float sidewards = at.x / radius;
  if (h.isEdge) here *= (8.0 / 3.0) * sidewards * sidewards * sidewards * sidewards;
  return h.depth * here * (1.0 + h.onFace * sign(at.y)) / max(radius, body);
}

float hairDensity(HairShell h, vec2 at, vec2 size) {
  float inside;
  float density = hairDensityOnwards(h, at, size, inside);
  return inside > 0.0 ? density : 0.0;
}

// Optical depth of a thread's hair for light that goes from + t rate beside its centre line, as if the thread ran straight on.
float hairDepthBeside(Segment s, vec2 from, vec2 rate, vec2 size) {
  HairShell shell = hairShell(s, size);
  float most = max(size.x, size.y) + shell.reach;
  float a = dot(rate, rate);
  float b = dot(from, rate);
  float disc = b * b - a * (dot(from, from) - most * most);
  if (disc <= 0.0 || a < 1e-10) return 0.0;
  float root = sqrt(disc);
  float t0 = max(0.0, (-b - root) / a);
  float t1 = (-b + root) / a;
  if (t0 >= t1) return 0.0;
  float sum = 0.0;
  for (int k = 0; k < LOOP(3); k++) {
    // Gauss-Legendre of three points.
    float place = 0.5 + 0.38729833 * float(k - 1);
    sum += (k == 1 ? 0.44444444 : 0.27777778) * hairDensity(shell, from + mix(t0, t1, place) * rate, size);
  }
  return sum * (t1 - t0);
}

// Optical depth of a turn's or tail's own hair for light that leaves it, or leaves its hair; what stands about it is left out.
float hairDepthOfExtra(int index, vec3 at, vec3 d) {
  Extra e = unscaled(loadExtra(index));
  Segment s = straightSegment(e, 0.0);
  if (extraRun(index).z <= 0.0 || fract(s.hair.y) != 0.0) return 0.0;
  float share = shareOnExtra(e, at);
  mat3 axes = axesAlong(extraTangent(e, share), false);
  return hairDepthBeside(s, ((at - extraPoint(e, share)) * axes).yz, (d * axes).yz, s.section.xz);
}

#ifdef HAIR_FIELD
// Near by the density of all hair is written down beside the columns (hairField.frag.glsl).
uniform highp sampler3D uHairField;
uniform highp vec4 uHairPlace;    // left and bottom mm, over the field's extent
uniform highp vec4 uHairHeights;  // lowest and highest place of hair, mm; over their distance; the greatest density that is told

// Optical depth of all hair on a ray's way out of the cloth, looked up at jittered places, close at first.
float hairDepthTowards(vec3 origin, vec3 d, uvec3 word) {
  // Hair that light does not look at.
  if (uHairHeights.y <= uHairHeights.x) return 0.0;
  bool up = d.z > 0.0;
  float until = ((up ? uHairHeights.y : uHairHeights.x) - origin.z) / (up ? max(d.z, 0.05) : min(d.z, -0.05));
  float jitter = unitFromHash(hash3(word)).y;
  vec3 begins = vec3((origin.xy - uHairPlace.xy) * uHairPlace.zw, (origin.z - uHairHeights.x) * uHairHeights.z);
  vec3 rate = d * vec3(uHairPlace.zw, uHairHeights.z);
  float depth = 0.0;
  float from = 0.0;
  // Unrolled: 0.2 ms of a frame, in a small program.
  for (int k = 0; k < HAIR_LOOKS; k++) {
    float share = float(k + 1) / float(HAIR_LOOKS);
    float to = until * share * share;
    float strewn = fract(jitter + float(k) * 0.7548776662466927);
    vec4 told = textureLod(uHairField, begins + mix(from, to, strewn) * rate, 0.0);
    // Pile ends sharply: where its height above that crosses the middle of what is told.
    depth += (to - from) * (told.x + told.y / 255.0 + (told.w > 0.5 ? told.z : 0.0));
    from = to;
  }
  return uHairHeights.w * depth;
}
#else
// Optical depth of all hair on a ray's way out of the cloth: of each thread that it passes within reach, once, where it
// passes it, however many cells that takes.
float hairDepthTowards(vec3 origin, vec3 d, uvec3 word) {
  ivec2 cell = ivec2(cellAt(true, origin.x), cellAt(false, origin.y));
  ivec2 place = cell + 1;
  int tile = ((place.y / TILE_CELLS) * uTilesAcross + place.x / TILE_CELLS) * TILE_TEXELS;
  vec4 head = texelFetch(uTileTable, tableAt(tile), 0);
  vec4 hairy = texelFetch(uTileTable, tableAt(tile + 1), 0);
  vec4 body = texelFetch(uTileTable, tableAt(tile + 2), 0);
  // Light does not look at a few stray hairs.
  vec2 margins = min(hairy.xy, body.xy + body.z);
  float toTop = (d.z > 0.0 ? head.w + body.z - origin.z : head.z - body.z - origin.z) / (abs(d.z) < 1e-4 ? 1e-4 : d.z);
  if (toTop <= 0.0) return 0.0;
  float depth = 0.0;
  for (int k = 0; k < LOOP(2 * HAIR_THREADS); k++) {
    bool isWarp = k >= HAIR_THREADS;
    // Whether any of a family's threads have such hair.
    if (isWarp ? margins.x <= body.x : margins.y <= body.y) continue;
    float start = isWarp ? origin.x : origin.y;
    float way = isWarp ? d.x : d.y;
    float margin = isWarp ? margins.x : margins.y;
    int here = isWarp ? cell.x : cell.y;
    int reach = int(head.x);
    reach = isWarp ? reach & 3 : (reach >> TILE_REACH_LINES_SHIFT) & 3;
    int number = isWarp ? k - HAIR_THREADS : k;
    // From behind the ray's beginning onwards.
    int thread = way >= 0.0 ? here + 1 - reach + number : here + reach - number;
    int count = isWarp ? uCount.x : uCount.z;
    if (thread < 0 || thread >= count) continue;
    float side = isWarp ? endX(thread) : lineY(thread);
    float off = way >= 0.0 ? side - start : start - side;
    if (off < -margin || off > margin + toTop * abs(way)) continue;
    // The cell in which the ray passes the thread, and the place beside it there.
    float passes = clamp(off / max(abs(way), 1e-6), 0.0, toTop);
    float along = (isWarp ? origin.y : origin.x) + passes * (isWarp ? d.y : d.x);
    int cellAlong = cellAt(!isWarp, along);
    int cells = isWarp ? uCount.z : uCount.x;
    if (cellAlong < 0 || cellAlong + 1 >= cells) continue;
    int index = isWarp ? thread : rowOnLine(thread, cellAlong, cellAlong + 1);
    float lo = isWarp ? lineY(cellAlong) : endX(cellAlong);
    float hi = isWarp ? lineY(cellAlong + 1) : endX(cellAlong + 1);
    Segment s;
    if (!loadSegment(isWarp ? KIND_WARP : KIND_WEFT, index, cellAlong, lo, hi, s)) continue;
    if (s.hair.x <= 0.0 || fract(s.hair.y) != 0.0) continue;
    float u = clamp((along - s.along) / s.pitch, 0.0, 1.0);
    vec2 from = vec2((isWarp ? origin.x : origin.y) - s.side, origin.z) - centreBeside(s, u);
    depth += hairDepthBeside(s, from, vec2(way, d.z), sizeAt(s, u));
  }
  return depth;
}
#endif
#endif
