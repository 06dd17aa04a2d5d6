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
};

uvec4 encodeColumn(Column c) {
  return uvec4(packHalf2x16(c.upper), packHalf2x16(c.lower), c.owners, 0u);
}

Column columnAt(vec2 texel) {
  uvec4 t = texelFetch(uColumns, clamp(ivec2(texel), ivec2(0), textureSize(uColumns, 0) - 1), 0);
  return Column(unpackHalf2x16(t.x), unpackHalf2x16(t.y), t.z);
}

// Owner of a body that the ray passes through on its way out of the cloth; -1: none. Looks at jittered places, close at
// first, since what is touched is in the way. from: the thread that the ray begins on, a convex body, left at once.
int columnsInWay(vec3 origin, vec3 d, int from, float ownMm, float jitter) {
  float until = ((d.z > 0.0 ? uColumnsHeights.y : uColumnsHeights.x) - origin.z) / (abs(d.z) < 1e-3 ? sign(d.z) * 1e-3 : d.z);
  vec2 at = (origin.xy - uColumnsPlace.xy) * uColumnsPlace.zw;
  vec2 rate = d.xy * uColumnsPlace.zw;
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
    bool left = here > ownMm;
    if (z > c.upper.x && z < c.upper.y && (left || upper != from)) return upper;
    if (z > c.lower.x && z < c.lower.y && (left || lower != from)) return lower;
    t += stepMm;
    stepMm = min(COLUMN_STEP_GROWS * stepMm, uColumnStepMm + COLUMN_STEP_WIDENS * t);
  }
  return -1;
}
