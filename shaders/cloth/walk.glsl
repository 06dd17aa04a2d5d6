#include "buffers.glsl"
#include "tube.glsl"
#include "extra.glsl"

// A cell is taken this much wider, so that a touch at its border is not lost to rounding.
const float CELL_SLACK_MM = 1e-3;

struct Hit {
  int kind;
  int index;
  float t;
  int steps;
  int candidates;
};

// First surface that the ray o + t d enters at t in (tMin, tMax): cell by cell, each thread near enough to cover the cell
// on its own segment; with anyHit, any. Twin and reasons: src/engine/packing/walk/walkCloth.ts. intersectTube is called here and nowhere
// else, and this is called once per program: a loop costs less to compile than a copy.
Hit walkCloth(vec3 origin, vec3 d, float tMin, float tMax, bool anyHit) {
  Hit hit = Hit(KIND_NONE, 0, NEVER, 0, 0);
  vec3 safe = vec3(
    abs(d.x) < 1e-12 ? 1e-12 : d.x,
    abs(d.y) < 1e-12 ? 1e-12 : d.y,
    abs(d.z) < 1e-12 ? 1e-12 : d.z
  );
  vec3 ta = (uBoundsMin - origin) / safe;
  vec3 tb = (uBoundsMax - origin) / safe;
  vec3 tNear = min(ta, tb);
  vec3 tFar = max(ta, tb);
  float t0 = max(max(tMin, tNear.x), max(tNear.y, tNear.z));
  float t1 = min(min(tMax, tFar.x), min(tFar.y, tFar.z));
  if (t0 >= t1) return hit;

  // From here on distances count from the box, so that single precision is spent on the cloth and not on the way to it.
  vec3 o = origin + t0 * d;
  float begin = tMin - t0;
  t1 -= t0;
  int ci = cellAt(true, o.x);
  int cj = cellAt(false, o.y);
  vec2 xs = vec2(endXOrBeyond(ci), endXOrBeyond(ci + 1));
  vec2 ys = vec2(lineYOrBeyond(cj), lineYOrBeyond(cj + 1));
  float best = t1;
  float t = 0.0;
  int tile = -1;
  int bits = 0;
  vec2 heights = vec2(0.0);
  int extrasStart = 0;
  int extrasPending = 0;
  vec2 margins = vec2(0.0);

  for (int walked = 0; walked < LOOP(MAX_WALK_STEPS); walked++) {
    hit.steps++;
    float tX = d.x > 0.0 ? (xs.y - o.x) / d.x : d.x < 0.0 ? (xs.x - o.x) / d.x : BEYOND_MM;
    float tY = d.y > 0.0 ? (ys.y - o.y) / d.y : d.y < 0.0 ? (ys.x - o.y) / d.y : BEYOND_MM;
    float tExit = min(min(tX, tY), t1);
    int here = ((cj + 1) / TILE_CELLS) * uTilesAcross + (ci + 1) / TILE_CELLS;
    if (here != tile) {
      tile = here;
      vec4 texel = texelFetch(uTileTable, tableAt(tile * TILE_TEXELS), 0);
      margins = texelFetch(uTileTable, tableAt(tile * TILE_TEXELS + 1), 0).xy + CELL_SLACK_MM;
      bits = int(texel.x);
      extrasStart = int(texel.y);
      heights = texel.zw;
      extrasPending = bits >> TILE_EXTRA_COUNT_SHIFT;
    }
    float zA = o.z + t * d.z;
    float zB = o.z + tExit * d.z;
    if (max(zA, zB) >= heights.x && min(zA, zB) <= heights.y) {
      int reachEnds = bits & 3;
      int reachLines = (bits >> TILE_REACH_LINES_SHIFT) & 3;
      int warpFirst = ci - reachEnds + 1;
      int warpCount = cj >= 0 && cj + 1 < uCount.z ? 2 * reachEnds : 0;
      int lineFirst = cj - reachLines + 1;
      int lineCount = ci >= 0 && ci + 1 < uCount.x ? 2 * reachLines : 0;
      // What the ray sweeps sideways within this cell.
      vec2 enters = o.xy + t * d.xy;
      vec2 leaves = o.xy + tExit * d.xy;
      vec2 low = min(enters, leaves);
      vec2 high = max(enters, leaves);
      int total = warpCount + lineCount + extrasPending;
      for (int k = 0; k < LOOP(MAX_CANDIDATES); k++) {
        if (k >= total) break;
        int kind = k < warpCount ? KIND_WARP : k < warpCount + lineCount ? KIND_WEFT : KIND_EXTRA;
        int index = 0;
        float found = NEVER;
        if (kind == KIND_EXTRA) {
          hit.candidates++;
          index = int(texelFetch(uExtraList, tableAt(extrasStart + k - warpCount - lineCount), 0).x);
          found = intersectExtra(index, o, d, begin, best);
        } else {
          bool isWarp = kind == KIND_WARP;
          int place = isWarp ? warpFirst + k : lineFirst + k - warpCount;
          if (place < 0 || place >= (isWarp ? uCount.x : uCount.z)) continue;
          int cell = isWarp ? ci : cj;
          vec2 beside = isWarp ? xs : ys;
          float side = place == cell ? beside.x : place == cell + 1 ? beside.y : isWarp ? endX(place) : lineY(place);
          float margin = isWarp ? margins.x : margins.y;
          if ((isWarp ? low.x : low.y) > side + margin || (isWarp ? high.x : high.y) < side - margin) continue;
          hit.candidates++;
          index = isWarp ? place : rowOnLine(place, ci, ci + 1);
          vec2 along = isWarp ? ys : xs;
          Segment s;
          if (loadSegment(kind, index, isWarp ? cj : ci, along.x, along.y, s)) {
            vec3 localO = (isWarp ? o.yxz : o.xyz) - vec3(0.0, s.side, 0.0);
            vec3 localD = isWarp ? d.yxz : d.xyz;
            found = intersectTube(s, localO, localD, begin, anyHit ? t1 : best, anyHit);
          }
        }
        if (found < best) {
          best = found;
          hit.kind = kind;
          hit.index = index;
        }
      }
      extrasPending = 0;
    }
    if (best <= tExit || tExit >= t1 || (anyHit && hit.kind != KIND_NONE)) break;
    t = tExit;
    if (tX <= tY) {
      if (d.x > 0.0) {
        ci++;
        xs = vec2(xs.y, endXOrBeyond(ci + 1));
      } else {
        ci--;
        xs = vec2(endXOrBeyond(ci), xs.x);
      }
    } else {
      if (d.y > 0.0) {
        cj++;
        ys = vec2(ys.y, lineYOrBeyond(cj + 1));
      } else {
        cj--;
        ys = vec2(lineYOrBeyond(cj), ys.x);
      }
    }
  }
  hit.t = t0 + best;
  return hit;
}
