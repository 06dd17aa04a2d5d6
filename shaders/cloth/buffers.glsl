// The cloth's arrays; clothBufferLayout.ts says what each texel holds.
uniform highp usampler2DArray uWarpNodes;
uniform highp usampler2DArray uWeftNodes;
uniform highp sampler2D uEndTable;
uniform highp sampler2D uRowTable;
uniform highp sampler2D uLineTable;
uniform highp sampler2D uBucketTable;
uniform highp sampler2D uTileTable;
uniform highp sampler2D uExtraTable;
uniform highp sampler2D uExtraList;
uniform highp sampler2D uMaterialTable;
uniform highp ivec3 uCount;     // ends, rows, lines
uniform highp ivec3 uPeriod;    // ends, rows, pages across
uniform highp vec2 uPerPeriod;  // 1 / ends, 1 / rows
uniform highp int uTilesAcross;
uniform highp int uSideBySide;
uniform highp int uPartialRows;  // 1 where some row does not run from edge to edge
uniform highp float uWrapScaleMm;
uniform highp vec2 uEndBuckets;  // start mm, buckets per mm
uniform highp vec2 uLineBuckets;
uniform highp ivec4 uBucketRanges; // count and offset, ends then lines
uniform highp vec3 uBoundsMin;
uniform highp vec3 uBoundsMax;
uniform highp vec2 uBodyHeights; // lowest and highest place of all bodies, mm; hair is left out
#include "../common/loops.glsl"

// Beyond the outermost threads a cell has no far side.
const float BEYOND_MM = 1e6;
const float NEVER = 1e30;

#ifdef HAIR
uniform highp float uHairFromMm;

// By the first texel of a material's hair. A few stray hairs, much finer than a pixel, cost more than they show.
bool showsHair(vec4 hair) {
  return hair.x > 0.0 && (fract(hair.y) == 0.0 || 2.0 * hair.w >= uHairFromMm);
}
#endif

ivec2 tableAt(int texel) {
  return ivec2(texel & (TABLE_WIDTH - 1), texel >> TABLE_SHIFT);
}

#ifdef HAIR
// Whether what stands off a material are strands of many fibres, solid to the light: loops and frayed threads.
bool hairIsStrand(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + HAIR_TEXEL + 1), 0).w > 0.5;
}

// First texel of the strand that a material's hair is of.
int hairStrandTexel(int material) {
  int row = material * MATERIAL_TEXELS;
  return row + MATERIAL_HEADER_TEXELS + int(texelFetch(uMaterialTable, tableAt(row + CORE_TEXEL), 0).y) * STRAND_TEXELS;
}
#endif

// First texel of a thread: position, half width and half height where pressed, material. Owner: row * 2, or end * 2 + 1.
vec4 threadTexel(int owner) {
  ivec2 texel = tableAt((owner >> 1) * THREAD_TEXELS);
  return (owner & 1) == 1 ? texelFetch(uEndTable, texel, 0) : texelFetch(uRowTable, texel, 0);
}

// Owner of what a ray met: of an end or a turn, the thread that it belongs to.
int ownerOf(int kind, int index) {
  if (kind == KIND_EXTRA) return int(texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS + 2), 0).w);
  return index * 2 + (kind == KIND_WARP ? 1 : 0);
}

float endX(int end) {
  return texelFetch(uEndTable, tableAt(end * THREAD_TEXELS), 0).x;
}

float lineY(int line) {
  return texelFetch(uLineTable, tableAt(line), 0).x;
}

float endXOrBeyond(int end) {
  return end < 0 ? -BEYOND_MM : end >= uCount.x ? BEYOND_MM : endX(end);
}

float lineYOrBeyond(int line) {
  return line < 0 ? -BEYOND_MM : line >= uCount.z ? BEYOND_MM : lineY(line);
}

// Last end at or left of x, or last line at or below y; -1 before the first.
int cellAt(bool isEnds, float at) {
  vec2 scale = isEnds ? uEndBuckets : uLineBuckets;
  ivec2 span = isEnds ? uBucketRanges.xy : uBucketRanges.zw;
  int bucket = int(clamp(floor((at - scale.x) * scale.y), 0.0, float(span.x - 1)));
  vec4 texel = texelFetch(uBucketTable, tableAt(span.y + bucket), 0);
  if (texel.y - texel.x <= 2.0) {
    return max(-1, int(texel.x) + (at >= texel.z ? 1 : 0) + (at >= texel.w ? 1 : 0));
  }
  int lo = max(-1, int(texel.x));
  int hi = int(texel.y);
  for (int k = 0; k < LOOP(BINARY_SEARCH_STEPS); k++) {
    if (lo >= hi) break;
    int middle = (lo + hi + 1) >> 1;
    float there = isEnds ? endX(middle) : lineY(middle);
    if (there <= at) lo = middle;
    else hi = middle - 1;
  }
  return lo;
}

// The line's row that covers ends first..last; where none does, the line's first row.
int rowOnLine(int line, int first, int last) {
  // Where no two rows share a line, lines are rows.
  if (uSideBySide == 0) return line;
  vec4 texel = texelFetch(uLineTable, tableAt(line), 0);
  int row = int(texel.y);
  int count = int(texel.z);
  for (int k = 0; k < LOOP(MAX_ROWS_ON_LINE); k++) {
    if (k >= count) break;
    vec2 span = texelFetch(uRowTable, tableAt((row + k) * THREAD_TEXELS + 1), 0).xy;
    if (float(first) >= span.x && float(last) <= span.y) return row + k;
  }
  return row;
}

// Remainder by multiplying: exact below 2^22, and far cheaper than an integer division.
int within(int index, int period, float perPeriod) {
  return index - period * int((float(index) + 0.5) * perPeriod);
}

// Where a crossing's node lies in the pages.
ivec3 nodeAt(int row, int end) {
  int r = within(row, uPeriod.y, uPerPeriod.y);
  int e = within(end, uPeriod.x, uPerPeriod.x);
  return ivec3(e & (PAGE_SIDE - 1), r & (PAGE_SIDE - 1), (r >> PAGE_SHIFT) * uPeriod.z + (e >> PAGE_SHIFT));
}
