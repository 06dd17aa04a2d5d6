#include "buffers.glsl"

// Lines of sight through kinds of crossings. While these are drawn a pixel is one of them: the same programs that draw the
// near picture meet and light what it meets, and their means are what the far picture shows (farTypes.ts).
uniform highp ivec4 uKinds;     // lines of sight for each part and node (0: the picture itself is drawn), parts of all kinds, nodes on a side, pixels across
uniform highp int uKindsFrom;   // number of the first line of sight of a part
uniform highp vec4 uKindView;   // with perspective: the part of the cloth that the nodes span, mm: left, bottom, right, top
uniform highp ivec2 uFarParts;  // that a kind's cells are looked at in, across and up
// The far picture laid flat; while kinds are drawn, the cells they are looked at in.
uniform highp sampler2D uFarCloth;

// What of a pixel's line of sight lies before the ray's beginning, mm.
float seenBefore = 0.0;

bool drawsKinds() {
  return uKinds.x > 0;
}

// Number of the first line of sight at a node: others at each, so that what lies between nodes has the noise of all four.
int kindRaysFrom(int node) {
  return uKindsFrom + node * uKinds.x;
}

int kindNode(ivec2 pixel) {
  return min((pixel.y * uKinds.w + pixel.x) / (uKinds.x * uKinds.y), uKinds.z * uKinds.z - 1);
}

// Number of a pixel's line of sight among those of its part, over all nodes and passes.
int kindRayNumber(ivec2 pixel) {
  return kindRaysFrom(kindNode(pixel)) + (pixel.y * uKinds.w + pixel.x) % uKinds.x;
}

// Evenly spread in place and, with it, in the light's direction (R4, the golden ratio's kin in four dimensions).
vec4 kindSequence(int number) {
  return fract(0.5 + float(number) * vec4(0.8566748838545029, 0.7338918566271260, 0.6287067210378087, 0.5385972572236101));
}

// Along one side of a cell, its thread at the half: where a share of the way (0..1) lies.
float alongCell(float from, float thread, float to, float share) {
  return share < 0.5 ? mix(from, thread, 2.0 * share) : mix(thread, to, 2.0 * share - 1.0);
}

// The part of a kind's cell that a line of sight of a number goes through: left, bottom, right, top, mm.
vec4 kindCell(int part, int number) {
  int parts = uFarParts.x * uFarParts.y;
  int within = part % parts;
  int texel = (part / parts * PLACES + number % PLACES) * PLACE_TEXELS;
  vec4 cell = texelFetch(uFarCloth, tableAt(texel), 0);
  vec2 thread = texelFetch(uFarCloth, tableAt(texel + 1), 0).xy;
  vec2 step = 1.0 / vec2(uFarParts);
  vec2 lo = vec2(within % uFarParts.x, within / uFarParts.x) * step;
  vec2 hi = lo + step;
  return vec4(
    alongCell(cell.x, thread.x, cell.z, lo.x),
    alongCell(cell.y, thread.y, cell.w, lo.y),
    alongCell(cell.x, thread.x, cell.z, hi.x),
    alongCell(cell.y, thread.y, cell.w, hi.y)
  );
}

// Where a pixel's line of sight meets the cloth's middle, and its node.
vec3 kindPlace(ivec2 pixel, out vec2 node) {
  int at = (pixel.y * uKinds.w + pixel.x) / uKinds.x;
  int numbered = kindNode(pixel);
  node = vec2(numbered % uKinds.z, numbered / uKinds.z) / float(max(1, uKinds.z - 1));
  int number = kindRayNumber(pixel);
  vec4 cell = kindCell(at % uKinds.y, number);
  return vec3(mix(cell.xy, cell.zw, kindSequence(number).xy), 0.5 * (uBoundsMin.z + uBoundsMax.z));
}
