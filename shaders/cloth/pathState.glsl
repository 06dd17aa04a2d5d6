// Where a pixel's path stands between two passes, in four targets of four 32-bit words, and the sum of those before it.
uniform highp usampler2D uPathPlace;
uniform highp usampler2D uPathWay;
uniform highp usampler2D uPathCarried;
uniform highp usampler2D uPathSum;

const int AT_THE_EYE = 0;    // its first ray is still to be followed
const int ON_ITS_WAY = 1;    // a ray off a surface is
const int AT_A_SURFACE = 2;  // a surface was met that is not shaded yet
const int OFF_A_HAIR = 3;    // as ON_ITS_WAY; the cell's word holds how far off the hair is let go, mm

const int KIND_BITS = 2;
const uint KIND_MASK = 3u;
const uint ASKED_BIT = 0x80000000u;

struct Path {
  int stage;
  vec3 origin;     // of the ray, or the place on the surface
  vec3 direction;  // of the ray, or of the one that met the surface
  vec3 carried;
  float pdf;       // of the ray's direction, per steradian
  int kind;        // of the surface met
  int panel;       // of bent cloth, from the far end's last: the place and direction met are in its flat space
  int index;
  int cell;
  float pixelMm;   // width of the pixel's footprint where the path met the cloth
  int bounces;
  int surfaces;
  bool sheet;      // went straight through the last surface: the ray to the window ended there
  bool asked;      // at a surface, after the window
  vec3 sum;        // of the light of all paths so far
  int samples;     // paths that have ended
};

// Word of small numbers: stage 2 bits, sheet 1, bounces 6, surfaces 7, the footprint as half a float, asked in place of its sign.
void readWay(inout Path p, uvec4 place, uvec4 way, uvec4 carried) {
  p.stage = int(place.w & 3u);
  p.sheet = (place.w & 4u) != 0u;
  p.bounces = int((place.w >> 3u) & 63u);
  p.surfaces = int((place.w >> 9u) & 127u);
  p.pixelMm = unpackHalf2x16((place.w >> 16u) & 0x7fffu).x;
  p.asked = (place.w & ASKED_BIT) != 0u;
  p.origin = uintBitsToFloat(place.xyz);
  p.direction = uintBitsToFloat(way.xyz);
  p.pdf = uintBitsToFloat(way.w);
  p.carried = uintBitsToFloat(carried.xyz);
  p.cell = int(carried.w);
}

Path loadPath() {
  ivec2 pixel = ivec2(gl_FragCoord.xy);
  // All at once, so that the fetches overlap.
  uvec4 place = texelFetch(uPathPlace, pixel, 0);
  uvec4 way = texelFetch(uPathWay, pixel, 0);
  uvec4 carried = texelFetch(uPathCarried, pixel, 0);
  uvec4 sum = texelFetch(uPathSum, pixel, 0);
  Path p;
  readWay(p, place, way, carried);
  p.kind = int((way.w >> uint(ID_INDEX_BITS)) & KIND_MASK);
  p.panel = int(way.w >> uint(ID_INDEX_BITS + KIND_BITS));
  p.index = int(way.w & ((1u << uint(ID_INDEX_BITS)) - 1u));
  p.sum = uintBitsToFloat(sum.xyz);
  p.samples = int(sum.w);
  return p;
}

void endPath(inout Path p) {
  p.samples++;
  p.stage = AT_THE_EYE;
}

layout(location = 0) out highp uvec4 outPlace;
layout(location = 1) out highp uvec4 outWay;
layout(location = 2) out highp uvec4 outCarried;

// All but the sum.
void storeWay(Path p) {
  uint small = uint(p.stage) | (p.sheet ? 4u : 0u) | (p.asked ? ASKED_BIT : 0u) | (uint(p.bounces) << 3u) | (uint(p.surfaces) << 9u);
  // A density is not asked for once the ray has met a surface.
  uint met = uint(p.index) | (uint(p.kind) << uint(ID_INDEX_BITS)) | (uint(p.panel) << uint(ID_INDEX_BITS + KIND_BITS));
  uint way = p.stage == AT_A_SURFACE ? met : floatBitsToUint(p.pdf);
  outPlace = uvec4(floatBitsToUint(p.origin), small | (packHalf2x16(vec2(p.pixelMm, 0.0)) << 16u));
  outWay = uvec4(floatBitsToUint(p.direction), way);
  outCarried = uvec4(floatBitsToUint(p.carried), uint(p.cell));
}
