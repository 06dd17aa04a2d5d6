// The cells that a walk comes through: which threads may be met in one, and where the next one is.
#include "buffers.glsl"

// A cell is taken this much wider, so that a touch at its border is not lost to rounding.
const float CELL_SLACK_MM = 1e-3;

// Where the bits of lines begin among those of threads near enough to be met in a cell.
const int LINE_BITS = 16;
const uint ENDS_BITS = 0xffffu;

// What neighbouring cells have in common; clothBufferLayout.ts says what its texels hold.
struct Tile {
  int index;
  int bits;
  int cellList;  // where its cells begin in the extra list
  vec2 heights;  // lowest and highest place of its bodies, mm
  vec2 bodies;   // how far those of ends and of lines reach sideways, mm
#ifdef HAIR_HITS
  vec2 hairs;    // how far with their hair
  float hairUp;  // how far that stands above and below the heights, mm
#endif
};

// Told where a walk begins, so that nothing of an earlier one is kept.
Tile noTile() {
#ifdef HAIR_HITS
  return Tile(-1, 0, 0, vec2(0.0), vec2(0.0), vec2(0.0), 0.0);
#else
  return Tile(-1, 0, 0, vec2(0.0), vec2(0.0));
#endif
}

Tile tileAt(int index) {
  Tile tile;
  tile.index = index;
  vec4 texel = texelFetch(uTileTable, tableAt(index * TILE_TEXELS), 0);
#ifdef HAIR_HITS
  vec4 hairy = texelFetch(uTileTable, tableAt(index * TILE_TEXELS + 1), 0);
  tile.hairUp = hairy.z;
  tile.hairs = hairy.xy + CELL_SLACK_MM;
#endif
  tile.bodies = texelFetch(uTileTable, tableAt(index * TILE_TEXELS + 2), 0).xy + CELL_SLACK_MM;
  tile.bits = int(texel.x);
  tile.cellList = int(texel.y);
  tile.heights = texel.zw;
  return tile;
}

// Lowest bit that is set, 0..31.
int lowestBit(uint bits) {
  uint low = bits & (~bits + 1u);
  return int(floatBitsToUint(float(low)) >> 23u) - 127;
}

// Where the k-th ends and lines outwards from a cell's own sides are: left and right, below and above.
vec4 sidesAround(ivec2 cell, int k) {
  return vec4(
    endXOrBeyond(cell.x - k),
    endXOrBeyond(cell.x + 1 + k),
    lineYOrBeyond(cell.y - k),
    lineYOrBeyond(cell.y + 1 + k)
  );
}

// How many ends and lines to each side of a cell may reach into it.
ivec2 reachInto(ivec2 cell, Tile tile) {
#ifdef HAIR_HITS
  ivec2 reach = ivec2(tile.bits & 3, (tile.bits >> TILE_REACH_LINES_SHIFT) & 3);
#else
  ivec2 reach = ivec2((tile.bits >> TILE_BODY_ENDS_SHIFT) & 3, (tile.bits >> TILE_BODY_LINES_SHIFT) & 3);
#endif
  // A thread runs from one side of the cell to the other, so cells beyond the outermost threads have none.
  if (cell.y < 0 || cell.y + 1 >= uCount.z) reach.x = 0;
  if (cell.x < 0 || cell.x + 1 >= uCount.x) reach.y = 0;
  return reach;
}

// Of a pair of ends and a pair of lines, the bits of those that lie within margins of what a ray sweeps.
uint nearOf(uvec4 bits, vec4 off, vec2 margins) {
  bits &= -uvec4(lessThanEqual(off, margins.xxyy));
  return bits.x | bits.y | bits.z | bits.w;
}

// Threads near what a ray sweeps sideways within a cell, from where it enters to where it leaves, a bit each: whose bodies, and with
// HAIR_HITS whose hair. Bodies and hair of each by themselves: a look at one is as long as all that are looked at together.
uvec2 threadsNear(ivec2 cell, Tile tile, ivec2 reach, vec4 sides, vec2 enters, vec2 leaves) {
  vec2 low = min(enters, leaves);
  vec2 high = max(enters, leaves);
  uint bodies = 0u;
  uint hairs = 0u;
  // From the cell's own sides outwards, pair by pair.
  for (int k = 0; k < LOOP(MAX_REACH); k++) {
    if (k >= max(reach.x, reach.y)) break;
    vec4 pair = k == 0 ? sides : sidesAround(cell, k);
    // From what the ray sweeps.
    vec4 off = max(low.xxyy - pair, pair - high.xxyy);
    uvec4 pairs = uvec4(1u) << uvec4(reach.xxyy + ivec4(-1 - k, k, LINE_BITS - 1 - k, LINE_BITS + k));
    pairs &= -uvec2(lessThan(ivec2(k), reach)).xxyy;
#ifndef HAIR_ALONE
    bodies |= nearOf(pairs, off, tile.bodies);
#endif
#ifdef HAIR_HITS
    hairs |= nearOf(pairs, off, mix(vec2(-1.0), tile.hairs, greaterThan(tile.hairs, tile.bodies)));
#endif
  }
  return uvec2(bodies, hairs);
}

// On to the next cell, beyond an end or beyond a line. done: threads that were looked at, a bit each, of this cell and then of that one.
void toNextCell(bool beyondEnd, bvec2 rising, inout ivec2 cell, inout vec4 sides, inout uint done) {
  if (beyondEnd) {
    done &= ENDS_BITS;
    done = rising.x ? done >> 1u : done << 1u & ENDS_BITS;
    cell.x += rising.x ? 1 : -1;
    float next = endXOrBeyond(rising.x ? cell.x + 1 : cell.x);
    sides.xy = rising.x ? vec2(sides.y, next) : vec2(next, sides.x);
  } else {
    done &= ~ENDS_BITS;
    done = rising.y ? done >> 1u & ~ENDS_BITS : done << 1u;
    cell.y += rising.y ? 1 : -1;
    float next = lineYOrBeyond(rising.y ? cell.y + 1 : cell.y);
    sides.zw = rising.y ? vec2(sides.w, next) : vec2(next, sides.z);
  }
}
