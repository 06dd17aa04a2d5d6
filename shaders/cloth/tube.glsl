#include "tubePlace.glsl"
#include "tubePiece.glsl"
#include "mesh.glsl"

// First t in (tMin, tMax) at which the ray enters the tube, within the segment's own range; else NEVER.
// o and d in the segment's axes: along the thread, sideways from it, up. Twin: walk/intersectTube.ts.
// With ANY_HIT, some t at which it is inside is enough.
float intersectTube(Segment s, vec3 o, vec3 d, float tMin, float tMax) {
  float uO = (o.x - s.along) / s.pitch;
  float uD = d.x / s.pitch;
  float lo = tMin;
  float hi = tMax;
  float plane = -NEVER;
  // A ray square to the thread never leaves the segment's range; dividing by its drift would overflow.
  if (abs(uD) < 1e-7) {
    if (uO < -SEGMENT_OVERLAP || uO > 1.0 + SEGMENT_OVERLAP) return NEVER;
  } else {
    float t0 = (-SEGMENT_OVERLAP - uO) / uD;
    float t1 = (1.0 + SEGMENT_OVERLAP - uO) / uD;
    plane = min(t0, t1);
    lo = max(lo, plane);
    hi = min(hi, max(t0, t1));
    if (lo >= hi) return NEVER;
  }

  // Straight tube from node to node, wide enough for the curve: h10 and h11 are at most 4/27, wrap's share 1/16.
  float dO = s.o.y + s.o.z + s.o.w;
  float dZ = s.z.y + s.z.z + s.z.w;
  float oEnd = s.o.y + 2.0 * s.o.z + 3.0 * s.o.w;
  float zEnd = s.z.y + 2.0 * s.z.z + 3.0 * s.z.w;
  float wrapMost = max(abs(s.wrap.x), abs(s.wrap.x + s.wrap.y));
  float awayO = (4.0 / 27.0) * (abs(s.o.y - dO) + abs(oEnd - dO));
  float awayZ = (4.0 / 27.0) * (abs(s.z.y - dZ) + abs(zEnd - dZ)) + wrapMost / 16.0;
  // |h00'| <= 3/2, |h10'| and |h11'| <= 1, and wrap's term rises at most 0.25 a unit.
  vec2 steep = vec2(1.5 * abs(dO) + abs(s.o.y) + abs(oEnd), 1.5 * abs(dZ) + abs(s.z.y) + abs(zEnd) + wrapMost / 4.0);
  vec2 size = s.section.xz + max(vec2(0.0), s.section.yw);
  vec2 tall = size * sqrt(1.0 + steep * steep / (s.pitch * s.pitch));
  // The foot lies within half the section's upright extent, so the bend moves a surface by at most a 1/8 part of this.
  float reach = (tall.x + tall.y) / s.pitch;
  vec2 most = vec2(max(abs(s.o.z), abs(s.o.z + 3.0 * s.o.w)), max(abs(s.z.z), abs(s.z.z + 3.0 * s.z.w)) + wrapMost);
  vec2 bent = min(BEND_SHARE * tall, 0.25 * reach * reach * most);
  // 2 % more, so that the search begins outside a straight thread too, whose bound is the thread itself.
  vec2 bound = 1.02 * tall + vec2(awayO, awayZ) + bent;
  vec2 at = vec2(o.y - s.o.x - dO * uO, o.z - s.z.x - dZ * uO) / bound;
  vec2 rate = vec2(d.y - dO * uD, d.z - dZ * uD) / bound;
  float ca = dot(rate, rate);
  float cb = dot(at, rate);
  float cc = dot(at, at) - 1.0;
  float disc = cb * cb - ca * cc;
  if (disc < 0.0) return NEVER;
  // A ray along the thread has ca near 0 and stays inside or outside.
  if (ca > 1e-10) {
    float root = sqrt(disc);
    lo = max(lo, (-cb - root) / ca);
    hi = min(hi, (-cb + root) / ca);
    if (lo >= hi) return NEVER;
  } else if (cc > 0.0) {
    return NEVER;
  }

#ifdef MESH
  float entered = NEVER;
  if (s.mesh.x > 0.5) {
    // Layers first; then what they are wound about, a body within the section that is met as any other.
#ifdef ANY_HIT
    // A ray that begins within the strip is told by the middle of what is left of its way.
    entered = meetMesh(s, o, d, uO, uD, lo, hi, 0.5 * (lo + hi));
#else
    entered = meetMesh(s, o, d, uO, uD, lo, hi, ca > 1e-10 ? clamp(-cb / ca, lo, hi) : 0.5 * (lo + hi));
#endif
    if (s.meshMore.x == 0.0) return entered;
#ifdef ANY_HIT
    // What begins on it, or on a layer outside it, and leads away.
    if (entered < NEVER || (s.ownNet && cb > 0.0)) return entered;
#endif
    s.section *= s.meshMore.x;
    size *= s.meshMore.x;
  }
#else
  float entered = NEVER;
#endif

#ifdef TIGHT_SPHERES
  float mostMm = max(size.x, size.y);
  float perMm = inversesqrt(dot(d, d));
#endif
  int pieces = int(clamp(ceil(abs(uD) * (hi - lo) * float(TUBE_PIECES)), 1.0, float(TUBE_PIECES)));
#ifdef TIGHT_SPHERES
  if (s.tight) pieces = 1;
#endif
  float stepT = (hi - lo) / float(pieces);
  PieceEnd ahead;
  for (int piece = 0; piece <= LOOP(TUBE_PIECES); piece++) {
    if (piece > pieces) break;
    float tb = lo + float(piece) * stepT;
    PieceEnd end = pieceEnd(s, o, d, uO, uD, tb);
    PieceEnd begin = ahead;
    ahead = end;
    if (piece == 0) continue;
    vec3 span = pieceSpan(begin, end, size, d, stepT);
#ifdef TIGHT
    // Met by its true nearest place, of which the piece's own slopes say too little.
#ifdef TIGHT_SPHERES
    if (s.tight) span = vec3(0.0, 1.0, 0.0);
#else
    if (s.tight) span = vec3(0.0, 1.0, 0.5);
#endif
#endif
    if (span.x >= span.y) continue;
    float ta = tb - stepT;
    float from = ta + span.x * stepT;
    float reach = (span.y - span.x) * stepT;
    float t = ta + span.z * stepT;
#ifdef ANY_HIT
    // Half way through the bound, then where the ray passes nearest to the middle as seen from there: within a per cent of
    // what a full search finds in the way of light.
    for (int k = 0; k < LOOP(2); k++) {
      SectionValue at = sectionOnRay(s, o, d, uO, uD, t);
      if (at.f <= 0.0) return t;
      t = clamp(t - at.qb / max(at.qa, 1e-20), from, from + reach);
    }
#else
    bool gentle = steep.x + steep.y <= STEEP_THREAD * s.pitch;
    int missed = 0;
    int scanned = -1;
    bool met = false;
    bool atPlane = false;
    vec2 last = vec2(0.0);
    float leastQa = NEVER;
    float outside = from;
    float inside = NEVER;
    // Newton's steps, then where they fail the scan, then a look at the segment's end: one place in the text for all.
    for (int k = 0; k < LOOP(NEWTON_STEPS + SCAN_STEPS + 1); k++) {
      SectionValue at = sectionOnRay(s, o, d, uO, uD, t);
#ifdef TIGHT_SPHERES
      // No surface is nearer than the centre line is, less the greatest semi-axis: enterTight in the twin.
      if (s.tight) {
        if (k == 0) outside = max(tMin, plane);
        if (k == 0 && at.f <= 0.0 && lo == outside) return lo > tMin ? min(entered, lo) : entered;
        float within = at.qb * at.qb - at.qa * at.f;
        float root = sqrt(max(within, 0.0));
        met = abs(at.f) < TIGHT_NEAR && at.qb < 0.0 && within >= 0.0;
        float entry = at.f <= 0.0 || (at.qb < 0.0 && within < 0.0) ? -at.qb / max(at.qa, 1e-20) : 0.0;
        if (at.f <= 0.0) entry -= root / max(at.qa, 1e-20);
        else if (at.qb < 0.0 && within >= 0.0) entry = at.f / (root - at.qb);
        float fall = (at.f - last.y) / (t - last.x);
        if (k > 0 && max(abs(at.f), abs(last.y)) < 0.1 && at.qb < 0.0 && fall < at.qb) entry = -at.f / fall;
        last = vec2(t, at.f);
        if (at.f > 0.0) {
          outside = t;
          float least = (at.qb < 0.0 ? TIGHT_LEAST : TIGHT_LEAVING) * mostMm;
          t += met ? entry : max(entry, perMm * max(least, at.away - TIGHT_WIDER * mostMm));
        } else t = met || (entry < 0.0 && t + entry > outside) ? t + entry : 0.5 * (outside + t);
        if (t > hi) met = false;
        if (met || t > hi || k == TIGHT_STEPS - 1) break;
        continue;
      }
#endif
      if (atPlane) {
        // Entered before the segment begins: the segment before ends a hair lower, its bend being another's.
        if (at.f <= 0.0) return lo;
        met = false;
        break;
      }
      bool ends = false;
      bool leaves = false;
      if (scanned >= 0) {
        if (at.f <= 0.0) inside = t;
        else outside = t;
        scanned++;
        bool scans = inside == NEVER;
        ends = scanned >= (scans ? SCAN_STEPS / 2 : SCAN_STEPS);
        met = ends && !scans;
        if (ends) t = inside;
        else t = scans ? from + (float(scanned) + 0.5) * reach / float(SCAN_STEPS / 2) : 0.5 * (outside + inside);
      } else {
        leastQa = min(leastQa, at.qa);
        met = abs(at.f) < SURFACE_TOLERANCE && at.qb < 0.0;
        float within = at.qb * at.qb - at.qa * at.f;
        float root = sqrt(max(within, 0.0));
        // Where the linearised section is missed, its nearest approach is looked at instead, three times at most, and once
        // where that is far off.
        bool fails = !met && within < 0.0 && ++missed > (at.f > FAR_OFF ? 1 : 3);
        if (!met && !fails) {
          // Of the two ways to write the entry, the one that does not cancel.
          float entry = at.qb < 0.0 && within >= 0.0 ? at.f / (root - at.qb) : (-at.qb - root) / max(at.qa, 1e-20);
          // Near the surface the last two values know the slope better: the linearised section leaves out how it turns.
          float fall = (at.f - last.y) / (t - last.x);
          if (k > 0 && abs(at.f) < 0.1 && at.qb < 0.0 && fall < at.qb) entry = -at.f / fall;
          last = vec2(t, at.f);
          t = clamp(t + entry, from - reach, from + 2.0 * reach);
          // So near, the step just taken is exact enough not to be looked at again.
          met = within >= 0.0 && at.qb < 0.0 && abs(at.f) < NEAR_ENOUGH;
          fails = !met && (t == last.x || k >= NEWTON_STEPS - 1);
          // Held at the bounds of where it may look, or moving away at the last look: in a thread that is not steep, a miss.
          leaves = gentle && (t == last.x ? at.f > 0.0 : at.f > FAR_OFF && at.qb > 0.0);
        }
        ends = met || fails;
        if (fails && !leaves && (!gentle || leastQa * s.section.x * s.section.z < RUNS_ALONG)) {
          scanned = 0;
          ends = false;
          t = from + 0.5 * reach / float(SCAN_STEPS / 2);
        }
      }
      if (!ends) continue;
      if (!met || piece > 1 || t >= lo || lo != plane) break;
      atPlane = true;
      t = lo;
    }
    if (!met) continue;
    // An entry in a later piece waits for that piece, which may hold an earlier one.
#ifdef TIGHT_SPHERES
    // Such a thread may stand out of its bound.
    if ((t >= lo || s.tight) && t <= hi) entered = min(entered, t);
#else
    if (t >= lo && t <= hi) entered = min(entered, t);
#endif
    if (entered <= tb) break;
#endif
  }
  return entered;
}
