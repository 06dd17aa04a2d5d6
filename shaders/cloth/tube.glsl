#include "buffers.glsl"

// One thread between two nodes; src/engine/packing/walk/tubeSegment.ts is its twin.
struct Segment {
  float along;   // start along the thread, mm
  float side;    // position of the thread, mm
  float pitch;   // mm
  vec4 o;        // sideways offset: cubic in u
  vec4 z;        // height: cubic in u
  vec2 wrap;     // start, change
  vec4 section;  // half width and its change, half height and its change
  vec2 contact;  // half width and half height where it is pressed
#ifdef TIGHT
  bool tight;    // it bends about as tightly as it is thick, or more
#endif
#ifdef MESH
  vec4 mesh;      // shape (0: closed), pitch, bar mm, layers
  int meshTexel;  // where it begins in the material table
  int thread;     // row * 2, or end * 2 + 1
#endif
#ifdef HAIR
  vec4 hair;      // height (0: none), lattices, core share, radius at the root; the sections above are the core's
  int hairTexel;  // where it begins in the material table
#endif
};

// Centre line at a point of a segment, slopes and bends per mm, and semi-axes with their slopes.
struct TubePoint {
  vec2 centre;   // sideways, up
  vec2 slope;
  vec2 bend;
  vec2 size;     // half width, half height
  vec2 sizeSlope;
};

TubePoint tubePointAt(Segment s, float u) {
  TubePoint p;
  float perMm = 1.0 / s.pitch;
  float q = u * (1.0 - u);
  float q1 = 1.0 - 2.0 * u;
  float wrap = s.wrap.x + u * s.wrap.y;
  p.centre = vec2(
    s.o.x + u * (s.o.y + u * (s.o.z + u * s.o.w)),
    s.z.x + u * (s.z.y + u * (s.z.z + u * s.z.w)) + q * q * wrap
  );
  p.slope = perMm * vec2(
    s.o.y + u * (2.0 * s.o.z + 3.0 * u * s.o.w),
    s.z.y + u * (2.0 * s.z.z + 3.0 * u * s.z.w) + 2.0 * q * q1 * wrap + q * q * s.wrap.y
  );
  p.bend = perMm * perMm * vec2(
    2.0 * s.o.z + 6.0 * u * s.o.w,
    2.0 * s.z.z + 6.0 * u * s.z.w + (2.0 * q1 * q1 - 4.0 * q) * wrap + 4.0 * q * q1 * s.wrap.y
  );
  float within = clamp(u, 0.0, 1.0);
  p.size = s.section.xz + within * within * (3.0 - 2.0 * within) * s.section.yw;
  p.sizeSlope = 6.0 * within * (1.0 - within) * perMm * s.section.yw;
  return p;
}

// F at t (0 on the surface, below 0 inside), and the linearised section there: F(t + d) = f + 2 qb d + qa d^2.
struct SectionValue {
  float f;
  float qa;
  float qb;
};

// Where in the section, whose edge is the unit circle, and how that changes with t.
struct SectionPlace {
  vec2 x;
  vec2 dx;
};

SectionValue sectionValue(SectionPlace p) {
  return SectionValue(dot(p.x, p.x) - 1.0, dot(p.dx, p.dx), dot(p.x, p.dx));
}

// The centre line's point from which a place is looked at, and how far beyond it the place lies along the thread, mm: where the
// segment bends tightly the foot of the perpendicular, else the point at u itself. Twin: footPoint in walk/tubeSegment.ts.
#ifdef TIGHT
// Of a few places of the curve the nearest.
float nearestShare(Segment s, float u, vec2 at) {
  float share = 0.0;
  float nearest = NEVER;
  for (int k = 0; k < LOOP(FOOT_LOOKS); k++) {
    float v = (float(k) + 0.5) / float(FOOT_LOOKS);
    float q = v * (1.0 - v);
    vec2 away = vec2((u - v) * s.pitch, at.y - s.z.x - v * (s.z.y + v * (s.z.z + v * s.z.w)) - q * q * (s.wrap.x + v * s.wrap.y));
#ifdef SIDEWAYS
    float beside = at.x - s.o.x - v * (s.o.y + v * (s.o.z + v * s.o.w));
    float away2 = dot(away, away) + beside * beside;
#else
    float away2 = dot(away, away);
#endif
    if (away2 < nearest) share = v;
    nearest = min(nearest, away2);
  }
  return share;
}

TubePoint footPoint(Segment s, float u, vec2 at, out float ahead) {
  float share = s.tight ? nearestShare(s, u, at) : u;
  TubePoint p;
  for (int k = 0; k <= LOOP(FOOT_STEPS); k++) {
    p = tubePointAt(s, share);
    if (!s.tight || k == FOOT_STEPS) break;
    vec2 away = at - p.centre;
    float grade = 1.0 + dot(p.slope, p.slope);
    float rate = max(0.5 * grade, grade - dot(away, p.bend)) * s.pitch;
    share = clamp(share + ((u - share) * s.pitch + dot(away, p.slope)) / rate, 0.0, 1.0);
  }
  ahead = (u - share) * s.pitch;
  return p;
}
#else
TubePoint footPoint(Segment s, float u, vec2 at, out float ahead) {
  ahead = 0.0;
  return tubePointAt(s, u);
}
#endif

// A point beside the thread (sideways, up) in the section that stands square to the centre line: foot of the
// perpendicular on the tangent, less the curve's bend between; p lies `ahead` mm before it. Twin and error: sectionAt in
// walk/tubeSegment.ts.
SectionPlace sectionAt(TubePoint p, float ahead, vec2 at, float alongRate, vec2 rate) {
  vec2 away = at - p.centre - ahead * p.slope;
  float grade = 1.0 / (1.0 + dot(p.slope, p.slope));
  float foot = ahead + dot(away, p.slope) * grade;
  vec2 awayRate = rate - p.slope * alongRate;
  float footRate = dot(awayRate, p.slope) * grade;
  vec2 most = BEND_SHARE * p.size;
  // A curve that bends more tightly than its thread is thick folds the section over itself, and rays slip through the fold.
  vec2 tightest = 2.0 * BEND_SHARE / p.size;
  vec2 curve = clamp(p.bend, -tightest, tightest);
  vec2 bend = clamp(0.5 * foot * foot * curve, -most, most);
  // Axes of the section: level and square to the tangent (1, o', z'), and square to both.
  float level2 = 1.0 + p.slope.x * p.slope.x;
  float lean = p.slope.x * p.slope.y / level2;
  // A section never falls below a fifth of itself within the foot's reach.
  vec2 scale = vec2(inversesqrt(level2), sqrt(level2 * grade)) / max(0.2 * p.size, p.size + foot * p.sizeSlope);
  vec2 place = away - bend;
  vec2 placeRate = awayRate - foot * footRate * curve;
  vec2 x = vec2(place.x, place.y - place.x * lean) * scale;
  vec2 dx = vec2(placeRate.x, placeRate.y - placeRate.x * lean) * scale;
  return SectionPlace(x, dx);
}

// Where a wrap turns the bend at its node round, no more than WRAP_SHARE of it.
float limitedWrap(float wrap, float bend) {
  return wrap * bend < 0.0 ? sign(wrap) * min(abs(wrap), WRAP_SHARE * abs(bend)) : wrap;
}

// Half the section over the radius of the tightest bend: at the nodes and half way.
float tightness(Segment s) {
  float end = s.wrap.x + s.wrap.y;
  vec2 size = s.section.xz + max(vec2(0.0), s.section.yw);
  float bendZ = max(max(abs(s.z.z + s.wrap.x), abs(s.z.z + 3.0 * s.z.w + end)), abs(s.z.z + 1.5 * s.z.w - 0.25 * (s.wrap.x + end)));
  float bendO = max(abs(s.o.z), abs(s.o.z + 3.0 * s.o.w));
  return 2.0 * max(bendO * size.x, bendZ * size.y) / (s.pitch * s.pitch);
}

// Twin: settleBend in walk/tubeSegment.ts.
void settleBend(inout Segment s) {
  bool tight = tightness(s) > TIGHT_BEND;
  if (tight) {
    float end = limitedWrap(s.wrap.x + s.wrap.y, s.z.z + 3.0 * s.z.w);
    s.wrap.x = limitedWrap(s.wrap.x, s.z.z);
    s.wrap.y = end - s.wrap.x;
  }
#ifdef TIGHT
  s.tight = tight && tightness(s) > TIGHT_BEND;
#endif
}

float signedByte(uint word, uint shift) {
  int value = int((word >> shift) & 255u);
  return float(value > 127 ? value - 256 : value);
}

vec4 cubicOf(float v0, float s0, float v1, float s1, float pitch) {
  float change = v1 - v0;
  float m0 = s0 * pitch;
  float m1 = s1 * pitch;
  return vec4(v0, m0, 3.0 * change - 2.0 * m0 - m1, m0 + m1 - 2.0 * change);
}

// Thread (end or row) `index` in the cell whose near and far sides along it lie at lo and hi. False where it is absent.
bool loadSegment(int kind, int index, int cell, float lo, float hi, out Segment s) {
  s.along = lo;
  s.pitch = hi - lo;
  if (!(s.pitch > 1e-5)) return false;
  vec4 thread;
  uvec3 n0;
  uvec3 n1;
  if (kind == KIND_WARP) {
    thread = texelFetch(uEndTable, tableAt(index * THREAD_TEXELS), 0);
    n0 = texelFetch(uWarpNodes, nodeAt(rowOnLine(cell, index, index), index), 0).xyz;
    n1 = texelFetch(uWarpNodes, nodeAt(rowOnLine(cell + 1, index, index), index), 0).xyz;
  } else {
    // All at once, so that the fetches overlap; absence is rare.
    vec2 span = vec2(-1.0, NEVER);
    if (uPartialRows != 0) span = texelFetch(uRowTable, tableAt(index * THREAD_TEXELS + 1), 0).xy;
    thread = texelFetch(uRowTable, tableAt(index * THREAD_TEXELS), 0);
    n0 = texelFetch(uWeftNodes, nodeAt(index, cell), 0).xyz;
    n1 = texelFetch(uWeftNodes, nodeAt(index, cell + 1), 0).xyz;
    if (float(cell) < span.x || float(cell + 1) > span.y) return false;
  }
  // Cut away after the loom.
  if ((n0.z & 255u) == uint(GONE_BYTE)) return false;
  s.side = thread.x;
  s.contact = thread.yz;
  vec2 z0 = unpackHalf2x16(n0.x);
  vec2 z1 = unpackHalf2x16(n1.x);
  s.z = cubicOf(z0.x, z0.y, z1.x, z1.y, s.pitch);
#ifdef SIDEWAYS
  vec2 o0 = unpackHalf2x16(n0.y);
  vec2 o1 = unpackHalf2x16(n1.y);
  s.o = cubicOf(o0.x, o0.y, o1.x, o1.y, s.pitch);
#else
  s.o = vec4(0.0);
#endif
  float wrapStart = signedByte(n0.z, 0u) * uWrapScaleMm / WRAP_STEPS;
  float wrapEnd = signedByte(n0.z, 8u) * uWrapScaleMm / WRAP_STEPS;
  s.wrap = vec2(wrapStart, wrapEnd - wrapStart);
  vec2 size0 = thread.yz * vec2(float((n0.z >> 16u) & 255u), float(n0.z >> 24u)) / SECTION_STEPS;
  vec2 size1 = thread.yz * vec2(float((n1.z >> 16u) & 255u), float(n1.z >> 24u)) / SECTION_STEPS;
  s.section = vec4(size0.x, size1.x - size0.x, size0.y, size1.y - size0.y);
#ifdef MESH
  s.meshTexel = int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL;
  s.mesh = texelFetch(uMaterialTable, tableAt(s.meshTexel), 0);
  s.thread = index * 2 + (kind == KIND_WARP ? 1 : 0);
#endif
#ifdef HAIR
  s.hairTexel = int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL;
  s.hair = texelFetch(uMaterialTable, tableAt(s.hairTexel), 0);
  if (!showsHair(s.hair)) s.hair.x = 0.0;
  if (s.hair.x > 0.0) s.section *= s.hair.z;
#endif
  settleBend(s);
  return true;
}

#ifndef SIDEWAYS
// The same for threads that keep to their own lines and bend gently, with all that is 0 there left out (a tenth of the frame).
SectionPlace straightPlaceOnRay(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
  float u = uO + t * uD;
  float perMm = 1.0 / s.pitch;
  float q = u * (1.0 - u);
  float q1 = 1.0 - 2.0 * u;
  float wrap = s.wrap.x + u * s.wrap.y;
  float z = s.z.x + u * (s.z.y + u * (s.z.z + u * s.z.w)) + q * q * wrap;
  float slope = perMm * (s.z.y + u * (2.0 * s.z.z + 3.0 * u * s.z.w) + q * (2.0 * q1 * wrap + q * s.wrap.y));
  float bend = perMm * perMm * (2.0 * s.z.z + 6.0 * u * s.z.w + (2.0 * q1 * q1 - 4.0 * q) * wrap + 4.0 * q * q1 * s.wrap.y);
  float within = clamp(u, 0.0, 1.0);
  vec2 size = s.section.xz + within * within * (3.0 - 2.0 * within) * s.section.yw;
  vec2 away = vec2(o.y + t * d.y, o.z + t * d.z - z);
  float grade = 1.0 / (1.0 + slope * slope);
  float foot = away.y * slope * grade;
  float upRate = d.z - slope * d.x;
  float tightest = 2.0 * BEND_SHARE / size.y;
  bend = clamp(bend, -tightest, tightest);
  float most = BEND_SHARE * size.y;
  vec2 scale = vec2(1.0, sqrt(grade)) / max(0.2 * size, size + foot * 6.0 * within * (1.0 - within) * perMm * s.section.yw);
  vec2 x = vec2(away.x, away.y - clamp(0.5 * foot * foot * bend, -most, most)) * scale;
  vec2 dx = vec2(d.y, upRate * (1.0 - foot * slope * grade * bend)) * scale;
  return SectionPlace(x, dx);
}
#endif

#if defined(TIGHT) && !defined(SIDEWAYS)
// The same where the thread bends tightly: from its nearest place, in the plane that it bends in.
SectionPlace tightPlaceOnRay(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
  float u = uO + t * uD;
  float up = o.z + t * d.z;
  float share = nearestShare(s, u, vec2(0.0, up));
  float slope = 0.0;
  float bend = 0.0;
  float height = 0.0;
  float ahead = 0.0;
  for (int k = 0; k <= LOOP(FOOT_STEPS); k++) {
    float perMm = 1.0 / s.pitch;
    float q = share * (1.0 - share);
    float q1 = 1.0 - 2.0 * share;
    float wrap = s.wrap.x + share * s.wrap.y;
    height = up - (s.z.x + share * (s.z.y + share * (s.z.z + share * s.z.w)) + q * q * wrap);
    slope = perMm * (s.z.y + share * (2.0 * s.z.z + 3.0 * share * s.z.w) + q * (2.0 * q1 * wrap + q * s.wrap.y));
    bend = perMm * perMm * (2.0 * s.z.z + 6.0 * share * s.z.w + (2.0 * q1 * q1 - 4.0 * q) * wrap + 4.0 * q * q1 * s.wrap.y);
    ahead = (u - share) * s.pitch;
    if (k == FOOT_STEPS) break;
    float grade = 1.0 + slope * slope;
    share = clamp(share + (ahead + height * slope) / (max(0.5 * grade, grade - height * bend) * s.pitch), 0.0, 1.0);
  }
  // The curve goes on beyond its last node as it bends there.
  float grade = 1.0 / (1.0 + slope * slope);
  float foot = ahead + (height - ahead * slope) * slope * grade;
  float most = BEND_SHARE * s.section.z;
  float away = height - ahead * slope - clamp(0.5 * foot * foot * clamp(bend, -2.0 * BEND_SHARE / s.section.z, 2.0 * BEND_SHARE / s.section.z), -most, most);
  vec2 size = s.section.xz + share * share * (3.0 - 2.0 * share) * s.section.yw;
  vec2 scale = vec2(1.0, sqrt(grade)) / size;
  return SectionPlace(vec2(o.y + t * d.y, away) * scale, vec2(d.y, d.z - slope * d.x) * scale);
}
#endif

SectionPlace sectionPlaceOnRay(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
#ifdef SIDEWAYS
  vec2 at = o.yz + t * d.yz;
  float ahead;
  TubePoint p = footPoint(s, uO + t * uD, at, ahead);
  return sectionAt(p, ahead, at, d.x, d.yz);
#else
#ifdef TIGHT
  if (s.tight) return tightPlaceOnRay(s, o, d, uO, uD, t);
#endif
  return straightPlaceOnRay(s, o, d, uO, uD, t);
#endif
}

SectionValue sectionOnRay(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
  return sectionValue(sectionPlaceOnRay(s, o, d, uO, uD, t));
}

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
  if (s.mesh.x > 0.5) return meetMesh(s, o, d, uO, uD, lo, hi);
#endif

  int pieces = int(clamp(ceil(abs(uD) * (hi - lo) * float(TUBE_PIECES)), 1.0, float(TUBE_PIECES)));
  float stepT = (hi - lo) / float(pieces);
  float entered = NEVER;
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
    if (s.tight) span = vec3(0.0, 1.0, 0.5);
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
      if (atPlane) {
        // Entered before the segment begins: the segment before ends a hair lower, its bend being another's.
        if (at.f <= 0.0) return lo;
        met = false;
        break;
      }
      bool ends = false;
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
        }
        ends = met || fails;
        if (fails && (steep.x + steep.y > STEEP_THREAD * s.pitch || leastQa * s.section.x * s.section.z < RUNS_ALONG)) {
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
    if (t >= lo && t <= hi) entered = min(entered, t);
    if (entered <= tb) break;
#endif
  }
  return entered;
}
