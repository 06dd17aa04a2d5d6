// What of the cloth stands over each place of its plane: the two outermost bodies, as heights from and to, and whose they
// are. src/render/lightColumns.ts has them written once for a view, columns.frag.glsl writes them.
uniform highp usampler2D uColumns;
uniform highp vec4 uColumnsPlace;    // left and bottom mm, texels per mm
uniform highp float uColumnStepMm;   // step along a ray, longer the further it has come

const uint COLUMN_NOBODY = 0xffffu;

struct Column {
  vec2 upper;  // from, to, mm
  vec2 lower;
  uint owners;
  vec2 nets;    // of a net, upper and lower, optical depth to a mm of height; 0: closed
};

uvec4 encodeColumn(Column c) {
  return uvec4(packHalf2x16(c.upper), packHalf2x16(c.lower), c.owners, packHalf2x16(c.nets));
}

Column columnAt(vec2 texel) {
  uvec4 t = texelFetch(uColumns, clamp(ivec2(texel), ivec2(0), textureSize(uColumns, 0) - 1), 0);
  return Column(unpackHalf2x16(t.x), unpackHalf2x16(t.y), t.z, unpackHalf2x16(t.w));
}

// Owner of a body that the ray passes through on its way out of the cloth; -1: none. Looks at jittered places, close at
// first, since what is touched is in the way. own: the thread that the ray begins on (-1: none), a convex body, left at once;
// a net stands in its own light, all but the layer that the ray begins on. Layers of net stand in the way by chance, as mesh.glsl has
// it; one chance decides for all that a ray crosses, by their depth together.
int columnsInWay(vec3 origin, vec3 d, int own, uvec3 word) {
  float until = ((d.z > 0.0 ? uBodyHeights.y : uBodyHeights.x) - origin.z) / (abs(d.z) < 1e-3 ? sign(d.z) * 1e-3 : d.z);
  vec2 at = (origin.xy - uColumnsPlace.xy) * uColumnsPlace.zw;
  vec2 rate = d.xy * uColumnsPlace.zw;
  vec3 chance = unitFromHash(hash3(word));
  float jitter = chance.x;
  vec4 thread = own < 0 ? vec4(0.0) : threadTexel(own);
  float ownMm = 2.0 * thread.y;
#ifdef MESH
  float before = origin.z;
  float crossed = 0.0;
  float most = -log(1.0 - chance.y);
  bool ownNet = own >= 0 && isMesh(int(thread.w));
  if (ownNet) {
    float layers = texelFetch(uMaterialTable, tableAt(int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL), 0).w;
    before += sign(d.z) * thread.z / layers;
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
    float ahead = d.z > 0.0 ? max(before, z) : min(before, z);
    vec2 low = max(vec2(min(before, ahead)), vec2(c.upper.x, c.lower.x));
    vec2 high = min(vec2(max(before, ahead)), vec2(c.upper.y, c.lower.y));
    vec2 nets = c.nets * max(vec2(0.0), high - low);
    before = ahead;
    crossed += nets.x + nets.y;
    if (crossed > most) return nets.x >= nets.y ? upper : lower;
    // What begins on the strand within a net leads away from its middle; else own bodies are left at once.
    bvec2 left = bvec2(here > ownMm);
    if (ownNet) left = greaterThan(d.z * vec2(c.upper.x + c.upper.y - 2.0 * z, c.lower.x + c.lower.y - 2.0 * z), vec2(0.0));
    if (c.nets.x == 0.0 && z > c.upper.x && z < c.upper.y && (left.x || upper != own)) return upper;
    if (c.nets.y == 0.0 && z > c.lower.x && z < c.lower.y && (left.y || lower != own)) return lower;
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
