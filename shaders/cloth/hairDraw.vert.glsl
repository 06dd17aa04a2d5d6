// Hair as the near picture draws it: a band along each curve, wide enough for every line of sight of a pixel that it touches.
// What a pixel's own line of sight meets within it is for hairDraw.frag.glsl to say. The lattices are those that rays look
// through (hair.glsl): one hair a cell, told by the same hashes.
#include "../common/hash.glsl"
#define EYE_ONLY
#include "view.glsl"
#include "hairCurve.glsl"
#include "hairDepth.glsl"

uniform highp int uSample;
uniform highp sampler2D uHairThreads;  // index, 0, 0, 0 of the threads with hair, by family and yarn
uniform highp ivec4 uHairRange;        // first texel of the threads in view, how many, first cell along them, how many
uniform highp ivec4 uHairWhose;        // kind of thread, material, one hair for so many, cells in all
uniform highp vec2 uBufferSize;        // pixels

in vec3 position;  // share of the curve, side of it, which of a batch

out vec3 vAxis;              // a place on the curve
out vec3 vWay;               // and how it changes with the share
out float vShare;
flat out vec4 vShape;        // radius mm, taper, by how much it is widened, 1 for a loop
flat out vec2 vLevel;        // lowest and highest hereabouts, mm
flat out ivec2 vWhose;       // kind, index

const uint STAND_IN_WORD = 0x510e527fu;
// Beyond what a line of sight strays within its pixel.
const float JITTER_PX = 0.75;

void main() {
  // Nothing: beyond the picture.
  gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
  vAxis = vec3(0.0);
  vWay = vec3(0.0);
  vShare = 0.0;
  vShape = vec4(0.0);
  vLevel = vec2(0.0);
  vWhose = uHairWhose.xx;
  int stride = uHairWhose.z;
  int number = gl_InstanceID * HAIRS_A_BATCH + int(position.z);
  int id = number * stride;
  if (stride > 1) {
    // One of the neighbours stands in for all, another in each sample.
    vec3 u = unitFromHash(hash3(uvec3(uint(number), uint(uSample), STAND_IN_WORD)));
    id += int(u.x * float(stride));
  }
  if (id >= uHairWhose.w) return;
  int hairTexel = uHairWhose.y * MATERIAL_TEXELS + HAIR_TEXEL;
  vec4 hair = texelFetch(uMaterialTable, tableAt(hairTexel), 0);
  vec4 kept = texelFetch(uMaterialTable, tableAt(hairTexel + 1), 0);
  vec4 lattice = texelFetch(uMaterialTable, tableAt(hairTexel + 2), 0);
  float ridges = texelFetch(uMaterialTable, tableAt(hairTexel + 3), 0).w;
  int sectors = int(kept.z);
  int layers = int(hair.y);
  // What stands towards the eye is drawn first, so that it hides the rest.
  int side = uHairWhose.w / sectors;
  int rank = id / side;
  id -= rank * side;
  int layer = id % layers;
  id /= layers;
  int cell = uHairRange.z + id % uHairRange.w;
  int index = int(texelFetch(uHairThreads, tableAt(uHairRange.x + id / uHairRange.w), 0).x);
  bool isWarp = uHairWhose.x == KIND_WARP;
  uint thread = uint(index * 2 + (isWarp ? 1 : 0));
  bool isEdge = kept.w == 2.0;

  vec3 placed = unitFromHash(hash3(uvec3(thread, uint(layer), LATTICE_WORD)));
  float start = placed.x * lattice.x + float(cell) * lattice.x;
  float sector = WHOLE_TURN / kept.z;
  float turn = WHOLE_TURN * (isEdge ? -0.25 : placed.y);
  float towardsEye = atan(-uForward.z, isWarp ? -uForward.x : -uForward.y) - turn;
  int facing = int(floor(towardsEye / sector)) + ((rank & 1) == 1 ? (rank + 1) / 2 : -rank / 2);
  int sectorHere = (facing % sectors + sectors) % sectors;
  float angle = turn + sector * float(sectorHere);
  vec2 firstSide = vec2(cos(angle), sin(angle));
  vec3 u = unitFromHash(hash3(uvec3(thread, uint(layer * 64 + sectorHere), uint(cell))));
  if (u.z >= lattice.y * ridgeAt(ridges, firstSide, sector, start + 0.5 * lattice.x)) return;

  int texel = int(kept.x) + 3 * (layer * int(kept.y) + int(u.x * kept.y));
  vec4 root = texelFetch(uMaterialTable, tableAt(texel), 0);
  int cells = isWarp ? uCount.z : uCount.x;
  int cellAlong = cellAt(!isWarp, start + root.x);
  if (cellAlong < 0 || cellAlong + 1 >= cells) return;
  float lo = isWarp ? lineY(cellAlong) : endX(cellAlong);
  float hi = isWarp ? lineY(cellAlong + 1) : endX(cellAlong + 1);
  Segment s;
  if (!loadSegment(uHairWhose.x, index, cellAlong, lo, hi, s)) return;
  vec2 size = sizeAt(s, clamp((start + root.x - lo) / (hi - lo), 0.0, 1.0));
  HairCurve c = placeHair(texel, root, start, firstSide, size, squashOf(s, size, lattice.w), isEdge);
  float share = position.x;
  vec3 at = c.root + share * c.chord + 4.0 * share * (1.0 - share) * c.bow;
  vec3 way = c.chord + 4.0 * (1.0 - 2.0 * share) * c.bow;
  // Where the thread itself is, there.
  if (at.x < lo || at.x > hi) {
    int there = clamp(cellAt(!isWarp, at.x), 0, cells - 2);
    float nextLo = isWarp ? lineY(there) : endX(there);
    float nextHi = isWarp ? lineY(there + 1) : endX(there + 1);
    Segment next;
    if (loadSegment(uHairWhose.x, index, there, nextLo, nextHi, next)) s = next;
  }
  TubePoint centre = tubePointAt(s, clamp((at.x - s.along) / s.pitch, 0.0, 1.0));
  at.yz += centre.centre + vec2(s.side, 0.0);
  way.yz += centre.slope * way.x;
  vAxis = isWarp ? at.yxz : at;
  vWay = isWarp ? way.yxz : way;
  vShare = share;
  float radius = hair.w * length(root.zw);
  vShape = vec4(radius, lattice.z, float(stride), kept.w == 1.0 ? 1.0 : 0.0);
  vWhose = ivec2(uHairWhose.x, index);
  ivec2 place = isWarp ? ivec2(index, cellAlong) + 1 : ivec2(cellAlong, cellAt(false, s.side)) + 1;
  vLevel = texelFetch(uTileTable, tableAt(((place.y / TILE_CELLS) * uTilesAcross + place.x / TILE_CELLS) * TILE_TEXELS), 0).zw;

  vec3 seen = vAxis - uEye;
  float ahead = dot(seen, uForward);
  bool perspective = uTanPerPixel > 0.0;
  if (perspective && ahead < 1e-2) return;
  float pixelMm = uMmPerPixel + uTanPerPixel * ahead;
  vec2 pixel = vec2(dot(seen, uRight), dot(seen, uUp)) / pixelMm;
  vec2 run = vec2(dot(vWay, uRight), dot(vWay, uUp)) - uTanPerPixel * dot(vWay, uForward) * pixel;
  run = dot(run, run) > 1e-12 ? normalize(run) : vec2(1.0, 0.0);
  float wide = radius * float(stride) / pixelMm + JITTER_PX;
  pixel += wide * (position.y * vec2(-run.y, run.x) + (share == 0.0 ? -run : share == 1.0 ? run : vec2(0.0)));
  pixel += 0.5 * uPictureSize - uPixelOffset;
  float w = perspective ? ahead : 1.0;
  // A round hair's front lies before its middle, on average over its width by a quarter of pi of the radius.
  float front = ahead - 0.7854 * radius * (1.0 - lattice.z * share);
  gl_Position = vec4(2.0 * pixel / uBufferSize - 1.0, 2.0 * bufferDepth(front) - 1.0, 1.0) * w;
}
