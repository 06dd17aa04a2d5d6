// Places each hair that the near picture draws once, for all corners of its band (hairDraw.vert.glsl). The lattices are those that
// rays look through (hair.glsl): one hair a cell, told by the same hashes.
#include "../common/hash.glsl"
#define EYE_ONLY
#include "view.glsl"
#include "hairCurve.glsl"
#include "extraHair.glsl"
#include "hairBeside.glsl"

uniform highp int uSample;
uniform highp int uHairFirst;          // number of the hair in the first texel
uniform highp sampler2D uHairThreads;  // index of the threads with hair, by family and yarn; of ends and turns (KIND_EXTRA) number and cell
uniform highp ivec4 uHairRange;        // first texel of the threads in view, how many, first cell along them, how many
uniform highp int uHairsRound;         // most of a lattice's hairs round one length of a cell that are drawn
uniform highp int uHairWholes;         // 1 where three places of each are drawn in one piece

layout(location = 0) out highp uvec4 outRoot;
layout(location = 1) out highp uvec4 outChord;
layout(location = 2) out highp uvec4 outBow;

const uint STAND_IN_WORD = 0x510e527fu;
// A curve may stray so far from its thread's bends, pixels.
const float STRAYS_PX = 0.1;

void writeHair(PlacedHair h) {
  outRoot = uvec4(floatBitsToUint(h.root), floatBitsToUint(h.radius));
  outChord = uvec4(floatBitsToUint(h.chord), uint(2 * h.index + (h.straight ? 1 : 0)));
  outBow = uvec4(floatBitsToUint(h.bow), packHalf2x16(h.level));
}

// Lowest and highest of the cloth in the tile of a cell.
vec2 levelIn(ivec2 cell) {
  ivec2 place = cell + 1;
  int tile = ((place.y / TILE_CELLS) * uTilesAcross + place.x / TILE_CELLS) * TILE_TEXELS;
  return texelFetch(uTileTable, tableAt(tile), 0).zw;
}

// A hair of a turn or tail: laid out beside its thread laid straight, three places of it carried round the bend.
void placeBesideExtra(int index, int texel, vec4 root, float start, vec2 firstSide, float full, bool isEdge, float radius) {
  Extra e = unscaled(loadExtra(index));
  vec4 run = extraRun(index);
  Segment s = straightSegment(e, run.x);
  vec2 size = s.section.xz;
  HairCurve c = placeHair(texel, root, start, firstSide, size, squashOf(s, size, full), isEdge);
  float from = run.y * (start + root.x - run.x);
  float middle = run.y * (c.root.x + 0.5 * c.chord.x + c.bow.x - run.x);
  float ends = extraLength(e);
  // Where a thread ends, as much of its hair stands beyond as is missing before: what has its middle on the thread stands for both.
  bool goesOn = run.w > 0.0;
  if (from < 0.0 || from > ends + (goesOn ? 0.0 : e.radius) || (!goesOn && middle > ends)) return;
  vec3 places[3];
  for (int k = 0; k < LOOP(3); k++) {
    vec3 at = c.root + 0.5 * float(k) * c.chord + (k == 1 ? c.bow : vec3(0.0));
    places[k] = besideExtra(e, run, run.y * (at.x - run.x), at.yz);
  }
  vec3 chord = places[2] - places[0];
  vec2 level = levelIn(ivec2(cellAt(true, places[0].x), cellAt(false, places[0].y)));
  writeHair(PlacedHair(places[0], chord, places[1] - places[0] - 0.5 * chord, radius, index, false, level));
}

// The curve of a hair whose thread is laid straight, beside that thread.
void layBeside(inout PlacedHair h) {
  vec3 first;
  vec3 middle;
  for (int k = 0; k < LOOP(3); k++) {
    vec3 at = h.root + 0.5 * float(k) * h.chord + (k == 1 ? h.bow : vec3(0.0));
    vec3 way = h.chord;
    besideThread(h, at, way);
    if (k == 0) first = at;
    else if (k == 1) middle = at;
    else h.chord = at - first;
  }
  h.root = first;
  h.bow = middle - first - 0.5 * h.chord;
  h.straight = false;
}

void main() {
  outRoot = uvec4(0u);
  outChord = uvec4(0u);
  outBow = uvec4(0u);
  ivec2 texelHere = ivec2(gl_FragCoord.xy);
  int stride = uHairWhose.z;
  int number = uHairFirst + (texelHere.y << TABLE_SHIFT) + texelHere.x;
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
  float sides = texelFetch(uMaterialTable, tableAt(hairTexel + 3), 0).w;
  int sectors = int(kept.z);
  int layers = int(hair.y);
  // What stands towards the eye is drawn first, so that it hides the rest.
  int side = uHairWhose.w / uHairsRound;
  int rank = id / side;
  id -= rank * side;
  int layer = id % layers;
  id /= layers;
  int cell = uHairRange.z + id % uHairRange.w;
  vec4 listed = texelFetch(uHairThreads, tableAt(uHairRange.x + id / uHairRange.w), 0);
  int index = int(listed.x);
  bool ofExtra = uHairWhose.x == KIND_EXTRA;
  if (ofExtra) cell = int(listed.y);
  int owner = ownerOf(uHairWhose.x, index);
  bool isWarp = (owner & 1) == 1;
  uint thread = uint(owner);
  bool isEdge = kept.w == FORM_EDGE;

  vec3 placed = unitFromHash(hash3(uvec3(thread, uint(layer), LATTICE_WORD)));
  float start = placed.x * lattice.x + float(cell) * lattice.x;
  float sector = WHOLE_TURN / kept.z;
  float turn = WHOLE_TURN * (isEdge ? -0.25 : placed.y);
  float towardsEye = atan(-uForward.z, isWarp ? -uForward.x : -uForward.y) - turn;
  int facing = int(floor(towardsEye / sector));
  // Of the cells that hold a hair the one that so many face the eye better than: corners of none would cost as much as a hair's.
  vec3 u;
  float angle;
  int before = 0;
  bool found = false;
  for (int k = 0; k < LOOP(MOST_HAIR_SECTORS); k++) {
    if (k == sectors) break;
    int sectorHere = sectorAround(facing + ((k & 1) == 1 ? (k + 1) / 2 : -k / 2), sectors);
    angle = turn + sector * float(sectorHere);
    u = unitFromHash(hash3(uvec3(thread, uint(layer * 64 + sectorHere), uint(cell))));
    found = u.z < lattice.y * crowdAt(sides, angle + 0.5 * sector, start + 0.5 * lattice.x) && before++ == rank;
    if (found) break;
  }
  if (!found) return;
  vec2 firstSide = vec2(cos(angle), sin(angle));

  int texel = int(kept.x) + 3 * (layer * int(kept.y) + int(u.x * kept.y));
  vec4 root = texelFetch(uMaterialTable, tableAt(texel), 0);
  if (ofExtra) {
    placeBesideExtra(index, texel, root, start, firstSide, lattice.w, isEdge, hair.w * length(root.zw));
    return;
  }
  int cells = isWarp ? uCount.z : uCount.x;
  int cellAlong = cellAt(!isWarp, start + root.x);
  if (cellAlong < 0 || cellAlong + 1 >= cells) return;
  float lo = isWarp ? lineY(cellAlong) : endX(cellAlong);
  float hi = isWarp ? lineY(cellAlong + 1) : endX(cellAlong + 1);
  Segment s;
  if (!loadSegment(uHairWhose.x, index, cellAlong, lo, hi, s)) return;
  vec2 size = sizeAt(s, clamp((start + root.x - lo) / (hi - lo), 0.0, 1.0));
  HairCurve c = placeHair(texel, root, start, firstSide, size, squashOf(s, size, lattice.w), isEdge);
  vec2 level = levelIn(isWarp ? ivec2(index, cellAlong) : ivec2(cellAlong, cellAt(false, s.side)));
  PlacedHair h = PlacedHair(c.root, c.chord, c.bow, hair.w * length(root.zw), index, true, level);

  // The thread's centre line, through which at most places of a hair's own extent a parabola runs.
  float middle = 0.5 * c.chord.x + c.bow.x;
  vec4 way = c.root.x + vec4(0.0, middle, c.chord.x, middle + c.bow.x);
  vec4 shares = (way - s.along) / s.pitch;
  if (all(greaterThanEqual(shares, vec4(0.0))) && all(lessThanEqual(shares, vec4(1.0)))) {
    vec2 first = centreBeside(s, shares.x);
    vec2 last = centreBeside(s, shares.z);
    vec2 bulge = centreBeside(s, shares.y) - 0.5 * (first + last);
    vec2 quarters = (c.root.x + vec2(0.25, 0.75) * c.chord.x + 0.75 * c.bow.x - s.along) / s.pitch;
    vec2 early = centreBeside(s, quarters.x) - mix(first, last, 0.25) - 0.75 * bulge;
    vec2 late = centreBeside(s, quarters.y) - mix(first, last, 0.75) - 0.75 * bulge;
    h.root.yz += first + vec2(s.side, 0.0);
    h.chord.yz += last - first;
    h.bow.yz += bulge;
    if (isWarp) {
      h.root = h.root.yxz;
      h.chord = h.chord.yxz;
      h.bow = h.bow.yxz;
    }
    float pixelMm = uMmPerPixel + uTanPerPixel * max(0.0, dot(h.root - uEye, uForward));
    float most = STRAYS_PX * pixelMm;
    if (max(dot(early, early), dot(late, late)) < most * most) h.straight = false;
    else {
      h.root = c.root;
      h.chord = c.chord;
      h.bow = c.bow;
    }
  }
  if (h.straight && uHairWholes == 1) layBeside(h);
  writeHair(h);
}
