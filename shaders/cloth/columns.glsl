// What of the cloth stands over each place of its plane: the two outermost bodies, as heights from and to, and whose they
// are. src/render/lightColumns.ts has them written once for a view, columns.frag.glsl writes them.
uniform highp usampler2D uColumns;
uniform highp vec4 uColumnsPlace;    // left and bottom mm, texels per mm
uniform highp vec2 uColumnsHeights;  // lowest and highest place of all bodies, mm
uniform highp float uColumnStepMm;   // step along a ray, longer the further it has come

const uint COLUMN_NOBODY = 0xffffu;

struct Column {
  vec2 upper;  // from, to, mm
  vec2 lower;
  uint owners;
  uint nets;    // 1: the upper is a net, 2: the lower
};

uvec4 encodeColumn(Column c) {
  return uvec4(packHalf2x16(c.upper), packHalf2x16(c.lower), c.owners, c.nets);
}

Column columnAt(vec2 texel) {
  uvec4 t = texelFetch(uColumns, clamp(ivec2(texel), ivec2(0), textureSize(uColumns, 0) - 1), 0);
  return Column(unpackHalf2x16(t.x), unpackHalf2x16(t.y), t.z, t.w);
}

#ifdef MESH
// Whether one of a net's layers between two heights over a place stands in the way: by chance, as mesh.glsl has it.
bool netStops(int owner, vec2 span, vec2 heights, uvec3 word) {
  vec4 thread = threadTexel(owner);
  Segment s;
  s.thread = owner;
  s.meshTexel = int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL;
  s.mesh = texelFetch(uMaterialTable, tableAt(s.meshTexel), 0);
  vec2 levels = (clamp(heights, span.x, span.y) - 0.5 * (span.x + span.y)) / thread.z;
  vec2 counted = floor(0.5 * (levels + 1.0) * s.mesh.w + 0.5);
  float crossed = abs(counted.y - counted.x);
  if (crossed < 0.5) return false;
  vec4 more = texelFetch(uMaterialTable, tableAt(s.meshTexel + 1), 0);
  float passes = pow(1.0 - meshCover(s, more), crossed);
  return unitFromHash(hash3(word)).x >= passes;
}
#endif

// Owner of a body that the ray passes through on its way out of the cloth; -1: none. Looks at jittered places, close at
// first, since what is touched is in the way. own: the thread that the ray begins on (-1: none), a convex body, left at once;
// a net stands in its own light, all but the layer that the ray begins on.
int columnsInWay(vec3 origin, vec3 d, int own, uvec3 word) {
  float until = ((d.z > 0.0 ? uColumnsHeights.y : uColumnsHeights.x) - origin.z) / (abs(d.z) < 1e-3 ? sign(d.z) * 1e-3 : d.z);
  vec2 at = (origin.xy - uColumnsPlace.xy) * uColumnsPlace.zw;
  vec2 rate = d.xy * uColumnsPlace.zw;
  float jitter = unitFromHash(hash3(word)).x;
  vec4 thread = own < 0 ? vec4(0.0) : threadTexel(own);
  float ownMm = 2.0 * thread.y;
#ifdef MESH
  float before = origin.z;
  if (own >= 0 && isMesh(int(thread.w))) {
    float layers = texelFetch(uMaterialTable, tableAt(int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL), 0).w;
    before += sign(d.z) * thread.z / layers;
    ownMm = 0.0;
  }
#endif
  float stepMm = COLUMN_FIRST_STEP * uColumnStepMm;
  // What lies within the start's own texel is as likely told too high as too low.
  float t = 0.5 / max(uColumnsPlace.z, uColumnsPlace.w);
  for (int k = 0; k < LOOP(COLUMN_STEPS); k++) {
    if (t >= until) break;
    float here = t + fract(jitter + 0.6180339887 * float(k)) * stepMm;
    float z = origin.z + here * d.z;
    Column c = columnAt(at + here * rate);
    int upper = int(c.owners & COLUMN_NOBODY);
    int lower = int(c.owners >> 16u);
#ifdef MESH
    vec2 between = vec2(before, z);
    before = z;
    float low = min(between.x, between.y);
    float high = max(between.x, between.y);
    bvec2 within = bvec2(low < c.upper.y && high > c.upper.x, low < c.lower.y && high > c.lower.x);
    if (any(within)) {
      for (int which = within.x ? 0 : 1; which < LOOP(2); which++) {
        if (which == 1 && !within.y) break;
        int owner = which == 0 ? upper : lower;
        vec2 span = which == 0 ? c.upper : c.lower;
        if ((c.nets & (which == 0 ? 1u : 2u)) != 0u) {
          vec2 place = origin.xy + here * d.xy;
          if (netStops(owner, span, between, word + uvec3(0u, 0u, uint(2 * k + which + 1)))) return owner;
        } else if (z > span.x && z < span.y && (here > ownMm || owner != own)) return owner;
      }
    }
#else
    bool left = here > ownMm;
    if (z > c.upper.x && z < c.upper.y && (left || upper != own)) return upper;
    if (z > c.lower.x && z < c.lower.y && (left || lower != own)) return lower;
#endif
    t += stepMm;
    stepMm = min(COLUMN_STEP_GROWS * stepMm, uColumnStepMm + COLUMN_STEP_WIDENS * t);
  }
  return -1;
}
