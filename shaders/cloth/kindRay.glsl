// Lines of sight through kinds of crossings. While these are drawn a pixel is one of them: the same programs that draw the
// near picture meet and light what it meets, and their means are what the far picture shows (farTypes.ts).
uniform highp ivec4 uKinds;     // lines of sight for each kind and node (0: the picture itself is drawn), kinds, nodes on a side, pixels across
uniform highp int uKindsFrom;   // number of the first line of sight of a kind
uniform highp vec4 uKindView;   // with perspective: the part of the cloth that the nodes span, mm: left, bottom, right, top
uniform highp vec2 uKindsZ;     // of the cloth: middle, half its thickness, mm
// The far picture laid flat; while kinds are drawn, the cells they are looked at in.
uniform highp sampler2D uFarCloth;

// What of a pixel's line of sight lies before the ray's beginning, mm.
float seenBefore = 0.0;

bool drawsKinds() {
  return uKinds.x > 0;
}

// Number of a pixel's line of sight among those of its kind, over all passes.
int kindRayNumber(ivec2 pixel) {
  return uKindsFrom + (pixel.y * uKinds.w + pixel.x) % uKinds.x;
}

// Evenly spread in place and, with it, in the light's direction (R4, the golden ratio's kin in four dimensions).
vec4 kindSequence(int number) {
  return fract(0.5 + float(number) * vec4(0.8566748838545029, 0.7338918566271260, 0.6287067210378087, 0.5385972572236101));
}

// Where a pixel's line of sight meets the cloth's middle, and its node.
vec3 kindPlace(ivec2 pixel, out vec2 node) {
  int at = (pixel.y * uKinds.w + pixel.x) / uKinds.x;
  int kind = at % uKinds.y;
  int numbered = min(at / uKinds.y, uKinds.z * uKinds.z - 1);
  node = vec2(numbered % uKinds.z, numbered / uKinds.z) / float(max(1, uKinds.z - 1));
  int number = kindRayNumber(pixel);
  int texel = kind * PLACES + number % PLACES;
  vec4 cell = texelFetch(uFarCloth, ivec2(texel & (TABLE_WIDTH - 1), texel >> TABLE_SHIFT), 0);
  return vec3(mix(cell.xy, cell.zw, kindSequence(number).xy), uKindsZ.x);
}
