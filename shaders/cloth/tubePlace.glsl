#include "tubeSegment.glsl"

// A draped cloth's program has no room for it, and looks for tight threads piece by piece.
#if defined(TIGHT) && !defined(ANY_HIT) && !defined(DRAPE)
#define TIGHT_SPHERES
#endif

// F at t (0 on the surface, below 0 inside), and the linearised section there: F(t + d) = f + 2 qb d + qa d^2.
struct SectionValue {
  float f;
  float qa;
  float qb;
#ifdef TIGHT_SPHERES
  float away;  // from the centre line, mm
#endif
};

// Where in the section, whose edge is the unit circle, and how that changes with t.
struct SectionPlace {
  vec2 x;
  vec2 dx;
#ifdef TIGHT_SPHERES
  float away;
#endif
};

SectionPlace sectionPlace(vec2 x, vec2 dx, float away) {
#ifdef TIGHT_SPHERES
  return SectionPlace(x, dx, away);
#else
  return SectionPlace(x, dx);
#endif
}

SectionValue sectionValue(SectionPlace p) {
#ifdef TIGHT_SPHERES
  return SectionValue(dot(p.x, p.x) - 1.0, dot(p.dx, p.dx), dot(p.x, p.dx), p.away);
#else
  return SectionValue(dot(p.x, p.x) - 1.0, dot(p.dx, p.dx), dot(p.x, p.dx));
#endif
}

// The centre line's point from which a place is looked at, and how far beyond it the place lies along the thread, mm: where the
// segment bends tightly the foot of the perpendicular, else the point at u itself. Twin: footPoint in walk/tubeSegment.ts.
#ifdef TIGHT
// Of a few places of the curve the nearest. Unrolled, as are the steps from there: 1.4 ms of a frame of strips at 60 degrees; but
// not where several kinds of threads are met, each with a look of its own.
#if defined(SIDEWAYS) || defined(MESH)
#define FOOT_LOOP(n) LOOP(n)
#else
#define FOOT_LOOP(n) n
#endif

float nearestShare(Segment s, float u, vec2 at) {
  float share = 0.0;
  float nearest = NEVER;
  for (int k = 0; k < FOOT_LOOP(FOOT_LOOKS); k++) {
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
  vec2 off = at - p.centre;
  vec2 away = off - ahead * p.slope;
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
#ifdef TIGHT_SPHERES
  return SectionPlace(x, dx, length(vec3(ahead, off)));
#else
  return SectionPlace(x, dx);
#endif
}

#ifndef SIDEWAYS
// The same for threads that keep to their own lines and bend gently, with all that is 0 there left out (a tenth of the frame).
SectionPlace straightPlaceOnRay(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
  float u = uO + t * uD;
  float perMm = 1.0 / s.pitch;
  LinePoint p = linePointAt(s, u);
  float slope = p.slope;
  float within = clamp(u, 0.0, 1.0);
  vec2 size = s.section.xz + within * within * (3.0 - 2.0 * within) * s.section.yw;
  vec2 away = vec2(o.y + t * d.y, o.z + t * d.z - p.z);
  float grade = 1.0 / (1.0 + slope * slope);
  float foot = away.y * slope * grade;
  float upRate = d.z - slope * d.x;
  float tightest = 2.0 * BEND_SHARE / size.y;
  float bend = clamp(p.bend, -tightest, tightest);
  float most = BEND_SHARE * size.y;
  vec2 scale = vec2(1.0, sqrt(grade)) / max(0.2 * size, size + foot * 6.0 * within * (1.0 - within) * perMm * s.section.yw);
  vec2 x = vec2(away.x, away.y - clamp(0.5 * foot * foot * bend, -most, most)) * scale;
  vec2 dx = vec2(d.y, upRate * (1.0 - foot * slope * grade * bend)) * scale;
  return sectionPlace(x, dx, 0.0);
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
  for (int k = 0; k <= FOOT_LOOP(FOOT_STEPS); k++) {
    LinePoint p = linePointAt(s, share);
    height = up - p.z;
    slope = p.slope;
    bend = p.bend;
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
  float beside = o.y + t * d.y;
  return sectionPlace(vec2(beside, away) * scale, vec2(d.y, d.z - slope * d.x) * scale, length(vec3(ahead, beside, height)));
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

#ifdef CLEAR
// About which way a thread faces at a place in its own axes, by its upright section: enough for a chance.
vec3 facingOf(Segment s, vec3 at) {
  TubePoint p = tubePointAt(s, (at.x - s.along) / s.pitch);
  vec2 flank = (at.yz - p.centre) / (p.size * p.size);
  return normalize(vec3(-dot(flank, p.slope), flank));
}
#endif
