#include "hit.glsl"
#include "walkCell.glsl"

// First surface that the ray o + t d enters at t in (tMin, tMax): cell by cell, each thread near enough to cover the cell
// on its own segment. With ANY_HIT, what stands in the ray's way: the walk ends with the first cell that holds any.
// from: the thread on which the ray begins (row * 2, or end * 2 + 1; -1: none), which it leaves outwards and so does not meet
// again in its first cell, nor in those that begin within half its radius: where two of its pieces join they do not quite meet, and
// it would shade itself in rings. Twin and reasons: src/engine/packing/walk/walkCloth.ts. intersectTube is called here and
// nowhere else, and this is called once per program: a loop costs less to compile than a copy.
Hit walkCloth(vec3 origin, vec3 d, float tMin, float tMax, int from) {
  Hit hit = noHit();
  vec3 perD = 1.0 / vec3(
    abs(d.x) < 1e-12 ? 1e-12 : d.x,
    abs(d.y) < 1e-12 ? 1e-12 : d.y,
    abs(d.z) < 1e-12 ? 1e-12 : d.z
  );
#ifdef HAIR_DRAWN
  // Where bodies alone are looked for, hair that stands over them is no part of the way.
  vec3 ta = (vec3(uBoundsMin.xy, uBodyHeights.x) - origin) * perD;
  vec3 tb = (vec3(uBoundsMax.xy, uBodyHeights.y) - origin) * perD;
#else
  vec3 ta = (uBoundsMin - origin) * perD;
  vec3 tb = (uBoundsMax - origin) * perD;
#endif
  vec3 tNear = min(ta, tb);
  vec3 tFar = max(ta, tb);
  float t0 = max(max(tMin, tNear.x), max(tNear.y, tNear.z));
  float t1 = min(tFar.x, min(tFar.y, tFar.z));
  if (t0 >= min(t1, tMax)) return hit;

  // From here on distances count from the box, so that single precision is spent on the cloth and not on the way to it.
  vec3 o = origin + t0 * d;
  float begin = tMin - t0;
  t1 -= t0;
  bvec2 rising = greaterThan(perD.xy, vec2(0.0));
  ivec2 cell = ivec2(cellAt(true, o.x), cellAt(false, o.y));
  // Near and far sides of the cell: ends, then lines.
  vec4 sides = sidesAround(cell, 0);
  float best = min(t1, tMax - t0);
  float t = 0.0;
  Tile tile = noTile();
  // Which of a cell's threads were looked at before it, on the same segments: a look takes in the whole of one.
  uint done = 0u;
#ifdef ANY_HIT
  float leaving = 0.0;
  if (from >= 0) {
    vec2 radii = threadTexel(from).yz;
    leaving = 0.25 * (radii.x + radii.y);
  }
#endif

  for (int walked = 0; walked < LOOP(MAX_WALK_STEPS); walked++) {
    hit.steps++;
    vec2 exits = (mix(sides.xz, sides.yw, rising) - o.xy) * perD.xy;
    float tExit = min(min(exits.x, exits.y), t1);
    ivec2 place = cell + 1;
    int here = (place.y / TILE_CELLS) * uTilesAcross + place.x / TILE_CELLS;
    if (here != tile.index) {
      tile = tileAt(here);
      done = 0u;
    }
    float zA = o.z + t * d.z;
    float zB = o.z + tExit * d.z;
#ifdef HAIR_HITS
    if (max(zA, zB) >= tile.heights.x - tile.hairUp && min(zA, zB) <= tile.heights.y + tile.hairUp) {
#else
    if (max(zA, zB) >= tile.heights.x && min(zA, zB) <= tile.heights.y) {
#endif
      ivec2 reach = reachInto(cell, tile);
      ivec2 first = cell + 1 - reach;
      uvec2 threads = threadsNear(cell, tile, reach, sides, o.xy + t * d.xy, o.xy + tExit * d.xy);
      uint near = threads.x;
#ifdef HAIR_HITS
      uint hairNear = threads.y;
      if (max(zA, zB) < tile.heights.x || min(zA, zB) > tile.heights.y) near = 0u;
#endif
      near &= ~done;
      done |= near;
      int extrasNext = 0;
      int extrasHere = 0;
#ifdef HAIR_HITS
      // Which piece of an extra is looked at for hair (0: its body), and how far along it begins.
      int piece = 0;
      float before = 0.0;
#endif
      if (tile.bits >> TILE_EXTRAS_SHIFT > 0) {
        int inTile = (place.y & (TILE_CELLS - 1)) * TILE_CELLS + (place.x & (TILE_CELLS - 1));
        vec2 reaching = texelFetch(uExtraList, tableAt(tile.cellList + inTile), 0).xy;
        extrasNext = int(reaching.x);
        extrasHere = int(reaching.y);
      }
      // Only what is near takes a turn of the loop, so that neighbouring pixels keep step.
      for (int k = 0; k < LOOP(MAX_CANDIDATES); k++) {
#ifdef HAIR_HITS
        if (near == 0u && hairNear == 0u && extrasHere == 0) break;
#else
        if (near == 0u && extrasHere == 0) break;
#endif
        hit.candidates++;
        int kind = KIND_EXTRA;
        int index = 0;
        int alongCell = 0;
        vec2 along = vec2(0.0);
        float found = NEVER;
#ifdef HAIR_HITS
        HairHit hair = HairHit(NEVER, vec3(0.0), vec3(0.0), 0.0);
        bool looks = false;
        ExtraPiece laid;
        laid.span = vec2(max(t, begin + hairClearMm), min(best, tExit));
        // Bodies first: what they hide of the ray needs no look at its hair.
        bool forHair = near == 0u;
        uint next = forHair ? hairNear : near;
        if (next != 0u) {
          int bit = lowestBit(next);
          if (forHair) hairNear &= hairNear - 1u;
          else near &= near - 1u;
#else
        if (near != 0u) {
          int bit = lowestBit(near);
          near &= near - 1u;
#endif
          bool isWarp = bit < LINE_BITS;
          kind = isWarp ? KIND_WARP : KIND_WEFT;
          index = isWarp ? first.x + bit : rowOnLine(first.y + bit - LINE_BITS, cell.x, cell.x + 1);
          alongCell = isWarp ? cell.y : cell.x;
          along = isWarp ? sides.zw : sides.xy;
#ifdef ANY_HIT
          bool own = from == index * 2 + (isWarp ? 1 : 0) && (walked == 0 || t < leaving);
#ifdef MESH
          // An open strip stands in its own light.
          bool ownNet = own && isMesh(int(threadTexel(from).w));
          if (ownNet) own = false;
#endif
          if (own) {
            done &= ~(1u << bit);
            continue;
          }
#endif
          Segment s;
          if (loadSegment(kind, index, alongCell, along.x, along.y, s)) {
#if defined(ANY_HIT) && defined(MESH)
            s.ownNet = ownNet;
#endif
            vec3 localO = (isWarp ? o.yxz : o.xyz) - vec3(0.0, s.side, 0.0);
            vec3 localD = isWarp ? d.yxz : d.xyz;
            // With ANY_HIT some t inside is found, not the entry: the order of looking must not matter.
#if defined(ANY_HIT)
            found = intersectTube(s, localO, localD, begin, t1);
#elif !defined(HAIR_HITS)
            found = intersectTube(s, localO, localD, begin, best);
#ifdef TELLS_FACING
            if (found < best) {
              hit.facing = facingOf(s, localO + found * localD);
              if (isWarp) hit.facing = hit.facing.yxz;
            }
#endif
#else
#ifndef HAIR_ALONE
            if (!forHair) found = intersectTube(s, localO, localD, begin, best);
            else
#endif
            if (s.hair.x > 0.0) {
              looks = true;
              laid.owner = index * 2 + (isWarp ? 1 : 0);
              laid.s = s;
              laid.o = localO;
              laid.d = localD;
            }
#endif
          }
        } else {
          index = int(texelFetch(uExtraList, tableAt(extrasNext), 0).x);
#ifdef HAIR_HITS
          vec4 run = extraRun(index);
          looks = piece > 0;
          if (looks) {
            laid = extraPiece(index, run, piece - 1, before, o, d, laid.span);
            before += laid.lengthMm;
          } else {
#ifndef HAIR_ALONE
            found = intersectExtra(index, o, d, begin, best);
#endif
            before = 0.0;
          }
          piece = run.z > 0.0 && piece < EXTRA_PIECES ? piece + 1 : 0;
          if (piece == 0) {
            extrasNext++;
            extrasHere--;
          }
#else
          extrasNext++;
          extrasHere--;
          found = intersectExtra(index, o, d, begin, best);
#endif
        }
#ifdef HAIR_HITS
        // Within this cell: another cell counts its own part.
        if (looks) {
          hair = intersectHair(laid.owner, laid.s, laid.o, laid.d, laid.span.x, laid.span.y);
          found = hair.t;
          if (kind == KIND_EXTRA) {
            hair.axis = laid.axes * hair.axis;
            hair.normal = laid.axes * hair.normal;
          }
        }
#endif
        if (found < best) {
          best = found;
          hit.kind = kind;
          hit.index = index;
          hit.cell = alongCell;
#ifdef HAIR_HITS
          hit.isHair = looks;
          hit.hair = hair;
#endif
        }
      }
    }
    if (best <= tExit || tExit >= t1) break;
#ifdef ANY_HIT
    if (hit.kind != KIND_NONE) break;
#endif
    t = tExit;
    toNextCell(exits.x <= exits.y, rising, cell, sides, done);
  }
  hit.t = t0 + best;
  hit.level = (2.0 * (o.z + best * d.z) - tile.heights.x - tile.heights.y) / max(tile.heights.y - tile.heights.x, 2e-4);
  return hit;
}
