// Heights of the bodies over a place of the cloth's plane: down from above twice, up from below twice.
#include "walk.glsl"
#include "columns.glsl"
#include "meshOpen.glsl"

layout(location = 0) out highp uvec4 outColumn;

// What stands for a layer that lets nothing through.
const float CLOSED_DEPTH = 12.0;

// Optical depth to a mm of height of an owner that is a net, as rays to the light meet its layers; else 0. Here it is closed: what
// holds its layers together.
float netDepth(uint owner) {
  vec4 thread = threadTexel(int(owner));
  int texel = int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL;
  vec4 mesh = texelFetch(uMaterialTable, tableAt(texel), 0);
  if (mesh.x < 0.5) return 0.0;
  float depth = min(CLOSED_DEPTH * mesh.w, -log(max(meshPasses(texel, mesh.w, floor(0.5 * mesh.w)), 1e-30)));
  return min(6e4, depth / (2.0 * thread.z));
}

// Over the strand that a net is wound about, that alone stands, closed: layers above it let most of the light by. An ellipse's share of
// another. whole: the body's own height over the place.
vec2 strandWithin(uint owner, vec2 span, vec2 whole, inout float depth) {
  vec4 thread = threadTexel(int(owner));
  float share = texelFetch(uMaterialTable, tableAt(int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL + 1), 0).x;
  float high = 0.5 * (whole.y - whole.x);
  float most = max(high, thread.z);
  float within = high * high - (1.0 - share * share) * most * most;
  if (share == 0.0 || within <= 0.0) return span;
  depth = 0.0;
  return clamp(0.5 * (whole.x + whole.y) + vec2(-1.0, 1.0) * sqrt(within), span.x, span.y);
}

void main() {
  vec2 at = uColumnsPlace.xy + gl_FragCoord.xy / uColumnsPlace.zw;
  vec2 met[4];
  float start = 0.0;
  for (int pass = 0; pass < LOOP(4); pass++) {
    bool falls = pass < 2;
    float high = uBoundsMax.z + 1.0;
    float low = uBoundsMin.z - 1.0;
    vec3 origin = vec3(at, falls ? high : low);
    if (pass == 2) start = 0.0;
    met[pass] = vec2(0.0, -1.0);
    if (start >= NEVER) continue;
    Hit hit = walkCloth(origin, vec3(0.0, 0.0, falls ? -1.0 : 1.0), start, NEVER, -1);
    start = NEVER;
    if (hit.kind == KIND_NONE) continue;
    met[pass] = vec2(falls ? high - hit.t : low + hit.t, float(ownerOf(hit.kind, hit.index)));
    // Just inside: a body is met where it is entered only.
    start = hit.t + COLUMN_PAST_MM;
  }
  const float EMPTY = -60000.0;
  Column c = Column(vec2(EMPTY), vec2(EMPTY), COLUMN_NOBODY | (COLUMN_NOBODY << 16u), vec2(0.0));
  if (met[0].y >= 0.0 && met[2].y >= 0.0) {
    uint upper = uint(met[0].y);
    uint lower = uint(met[2].y);
    // More than two bodies are one from top to bottom; one body is its own upper and lower half.
    float middle = 0.5 * (met[0].x + met[2].x);
    bool two = met[1].y == met[2].y && met[3].y == met[0].y && met[1].y >= 0.0;
    c = Column(
      vec2(two ? met[3].x : middle, met[0].x),
      vec2(met[2].x, two ? met[1].x : middle),
      upper | (lower << 16u),
      vec2(netDepth(upper), netDepth(lower))
    );
    vec2 whole = vec2(met[2].x, met[0].x);
    c.upper = strandWithin(upper, c.upper, upper == lower ? whole : c.upper, c.nets.x);
    c.lower = strandWithin(lower, c.lower, upper == lower ? whole : c.lower, c.nets.y);
  }
  outColumn = encodeColumn(c);
}
