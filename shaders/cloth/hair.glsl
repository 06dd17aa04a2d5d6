#include "../common/hash.glsl"
#include "hairMedium.glsl"

#ifdef HAIR

// Hair that stands off a thread's body. Twin, with the reasons: src/engine/packing/walk/intersectHair.ts, hairCurve.ts.
// A hair's own reach along a ray that leaves it: it is not met again there.
float hairClearMm = 0.0;

struct HairHit {
  float t;      // NEVER: none
  vec3 axis;    // in the segment's axes
  vec3 normal;
  float high;   // how high on the hair, 0..1
};

struct HairCurve {
  vec3 root;
  vec3 chord;
  vec3 bow;
};

// Twice the radius of a thread's hairs, and a little.
float hairClearance(int thread) {
  int material = int(threadTexel(thread).w);
  return 2.2 * texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + HAIR_TEXEL), 0).w;
}

#ifndef ANY_HIT
const float QUARTER_TURN = 1.57079632679;
const float WHOLE_TURN = 6.28318530718;
const uint LATTICE_WORD = 0x6a09e667u;
const float SUNK = 0.95;
const float STEEPEST_LEAN = 1.5;
const float MOST_ALONG = 0.95;
const float MOST_AROUND = 1.2;

vec3 hairPoint(vec2 size, float along, float angle, float share, float height) {
  vec2 way = vec2(cos(angle), sin(angle));
  vec2 scaled = way / size;
  return vec3(along, (share * inversesqrt(dot(scaled, scaled)) + height) * way);
}

HairCurve placeHair(uvec3 words, vec2 size, float start, float cellMm, float quarter, float run, float rise) {
  uvec3 more = hash3(words);
  vec3 u = unitFromHash(more);
  float way = WHOLE_TURN * float(words.x & 255u) / 256.0;
  float along = clamp(run * cos(way), -MOST_ALONG * cellMm, MOST_ALONG * cellMm);
  float angle = clamp(run * sin(way) / (0.5 * (size.x + size.y) + 0.5 * rise), -MOST_AROUND, MOST_AROUND);
  float s0 = start + max(0.0, -along) + u.x * (cellMm - abs(along));
  float phi0 = quarter + max(0.0, -angle) + u.y * (QUARTER_TURN - abs(angle));
  // It rises first and leans over then.
  float share = 0.2 + 0.3 * u.z;
  float bend = rise * (0.55 + 0.4 * float(more.z & 255u) / 256.0);
  HairCurve c;
  c.root = hairPoint(size, s0, phi0, SUNK, 0.0);
  vec3 control = hairPoint(size, s0 + share * along, phi0 + share * angle, 1.0, bend);
  vec3 tip = hairPoint(size, s0 + along, phi0 + angle, 1.0, rise);
  c.bow = 0.5 * (control - 0.5 * (c.root + tip));
  c.chord = tip - c.root;
  return c;
}

// Of hairs that fall off exponentially, cut off at the longest, the length that a share u are shorter than; of even ones, by v.
float hairLength(float u, float cut, vec4 shape, float v) {
  return mix(min(shape.y, -shape.x * log(1.0 - u * cut)), shape.x * (0.8 + 0.4 * v), shape.w);
}

// Where the ray from + t rate comes nearest to the hair, if it meets it before best.
void meetHair(HairCurve c, vec3 from, vec3 rate, float radius, float taper, float best, inout HairHit hit) {
  float f = 0.5;
  float dd = dot(rate, rate);
  for (int k = 0; k < LOOP(3); k++) {
    vec3 tangent = c.chord + 4.0 * (1.0 - 2.0 * f) * c.bow;
    vec3 gap = from - c.root - f * c.chord - 4.0 * f * (1.0 - f) * c.bow;
    if (k == 0) {
      vec3 n = cross(rate, tangent);
      float apart = dot(n, gap);
      float near = radius + length(c.bow);
      if (apart * apart > near * near * dot(n, n)) return;
    }
    float b = dot(rate, tangent);
    f += (dd * dot(tangent, gap) - b * dot(rate, gap)) / max(dd * dot(tangent, tangent) - b * b, 1e-12);
    f = clamp(f, 0.0, 1.0);
  }
  vec3 gap = from - c.root - f * c.chord - 4.0 * f * (1.0 - f) * c.bow;
  float nearest = -dot(rate, gap) / dd;
  gap += nearest * rate;
  float thick = radius * (1.0 - taper * f);
  float off2 = dot(gap, gap);
  if (off2 >= thick * thick) return;
  float t = nearest - sqrt((thick * thick - off2) / dd);
  if (!(t > 0.0 && t < best)) return;
  hit.t = t;
  hit.axis = normalize(c.chord + 4.0 * (1.0 - 2.0 * f) * c.bow);
  vec3 square = rate - dot(rate, hit.axis) * hit.axis;
  hit.normal = gap / thick - square * sqrt((1.0 - off2 / (thick * thick)) / max(dot(square, square), 1e-12));
  hit.high = f;
}

// First hair of a thread (row * 2, or end * 2 + 1) that the ray meets within the segment's own range at t in (tMin, tMax).
HairHit intersectHair(int thread, Segment s, vec3 o, vec3 d, float tMin, float tMax) {
  HairHit hit = HairHit(NEVER, vec3(1.0, 0.0, 0.0), vec3(0.0, 0.0, 1.0), 0.0);
  float shell = s.hair.x;
  float radius = s.hair.w;
  float uO = (o.x - s.along) / s.pitch;
  float uD = d.x / s.pitch;
  float lo = tMin;
  float hi = tMax;
  if (abs(uD) < 1e-7) {
    if (uO < 0.0 || uO > 1.0) return hit;
  } else {
    float t0 = -uO / uD;
    float t1 = (1.0 - uO) / uD;
    lo = max(lo, min(t0, t1));
    hi = min(hi, max(t0, t1));
  }
  if (lo >= hi) return hit;
  float dO = s.o.y + s.o.z + s.o.w;
  float dZ = s.z.y + s.z.z + s.z.w;
  vec2 slack = vec2(
    abs(s.o.y - dO) + abs(s.o.y + 2.0 * s.o.z + 3.0 * s.o.w - dO),
    abs(s.z.y - dZ) + abs(s.z.y + 2.0 * s.z.z + 3.0 * s.z.w - dZ)
  );
  vec2 bound = s.section.xz + max(vec2(0.0), s.section.yw) + shell + radius + (4.0 / 27.0) * slack;
  bound.y += max(abs(s.wrap.x), abs(s.wrap.x + s.wrap.y)) / 16.0;
  vec2 off = vec2(o.y - s.o.x - dO * uO, o.z - s.z.x - dZ * uO) / bound;
  vec2 drift = vec2(d.y - dO * uD, d.z - dZ * uD) / bound;
  float ca = dot(drift, drift);
  float cb = dot(off, drift);
  float cc = dot(off, off) - 1.0;
  float disc = cb * cb - ca * cc;
  if (disc < 0.0) return hit;
  if (ca > 1e-10) {
    float root = sqrt(disc);
    lo = max(lo, (-cb - root) / ca);
    hi = min(hi, (-cb + root) / ca);
  } else if (cc > 0.0) {
    return hit;
  }
  if (!(hi - lo > 1e-6)) return hit;

  // Beside the centre line the ray is straight from end to end; times count from lo.
  float uLo = uO + lo * uD;
  float uHi = uO + hi * uD;
  float span = hi - lo;
  vec3 from = o + lo * d - vec3(0.0, centreBeside(s, uLo));
  vec3 rate = vec3(d.x, (o.yz + hi * d.yz - centreBeside(s, uHi) - from.yz) / span);
  float middle = clamp(0.5 * (uLo + uHi), 0.0, 1.0);
  vec2 size = s.section.xz + middle * middle * (3.0 - 2.0 * middle) * s.section.yw;
  vec4 shape = texelFetch(uMaterialTable, tableAt(s.hairTexel + 1), 0);
  vec4 lattice = texelFetch(uMaterialTable, tableAt(s.hairTexel + 2), 0);
  float squash = 1.0;
  if (lattice.w > 0.0) squash = min(1.0, (size.x + size.y) / (s.hair.z * lattice.w * (s.contact.x + s.contact.y)));
  float cross2 = dot(rate.yz, rate.yz);
  float nearest = cross2 > 1e-12 ? -dot(from.yz, rate.yz) / cross2 : 0.0;
  float sizeMost = max(size.x, size.y);
  float cut = 1.0 - exp(-shape.y / shape.x);
  float cellMm = lattice.x;

  vec2 closest = from.yz + clamp(nearest, 0.0, span) * rate.yz;
  float apart = length(closest) - sizeMost - radius;

  float best = span;
  int layers = int(s.hair.y);
  int layer = -1;
  bool fresh = true;
  float shift = 0.0;
  float turn = 0.0;
  float t = 0.0;
  int cell = 0;
  vec2 q = vec2(0.0);
  vec2 qRate = vec2(0.0);
  vec2 tq = vec2(0.0);
  for (int k = 0; k < LOOP(MAX_HAIR_LOOKS); k++) {
    if (fresh) {
      layer++;
      if (layer >= layers) break;
      fresh = false;
      // Lattices hold hairs of their own lengths, the longest first: where the ray passes further off, it passes all the rest.
      float tallest = hairLength(1.0 - float(layer) / float(layers), cut, shape, 1.0);
      if (apart > min(shell, tallest) * squash) break;
      vec3 u = unitFromHash(hash3(uvec3(uint(thread), uint(layer), LATTICE_WORD)));
      shift = u.x * cellMm;
      turn = WHOLE_TURN * u.y;
      vec2 way = vec2(cos(turn), sin(turn));
      // The ray in the lattice's own axes, whose quadrants are its quarters.
      q = vec2(dot(from.yz, way), from.z * way.x - from.y * way.y);
      qRate = vec2(dot(rate.yz, way), rate.z * way.x - rate.y * way.y);
      tq = vec2(abs(qRate.x) > 1e-12 ? -q.x / qRate.x : -1.0, abs(qRate.y) > 1e-12 ? -q.y / qRate.y : -1.0);
      cell = int(floor((from.x - shift) / cellMm));
      t = 0.0;
    }
    float side = shift + float(rate.x > 0.0 ? cell + 1 : cell) * cellMm;
    float ts = abs(rate.x) > 1e-7 ? (side - from.x) / rate.x : NEVER;
    float next = min(span, ts);
    if (tq.x > t) next = min(next, tq.x);
    if (tq.y > t) next = min(next, tq.y);
    vec2 inside = q + 0.5 * (t + next) * qRate;
    int quarter = inside.y > 0.0 ? (inside.x > 0.0 ? 0 : 1) : inside.x > 0.0 ? 3 : 2;
    uvec3 words = hash3(uvec3(uint(thread), uint(layer * 4 + quarter), uint(cell)));
    if (float(words.z & 255u) < 256.0 * lattice.y) {
      vec3 u = unitFromHash(words);
      float reach = hairLength(1.0 - (float(layer) + u.x) / float(layers), cut, shape, u.x);
      float stands = min(reach * cos(min(STEEPEST_LEAN, 2.0 * shape.z * u.y)), shell);
      float rise = stands * squash;
      vec2 close = from.yz + clamp(nearest, t, next) * rate.yz;
      float most = sizeMost + rise + radius;
      if (dot(close, close) < most * most) {
        float run = sqrt(max(0.0, reach * reach - stands * stands));
        float start = shift + float(cell) * cellMm;
        HairCurve c = placeHair(words, size, start, cellMm, turn + float(quarter) * QUARTER_TURN, run, rise);
        meetHair(c, from, rate, radius, lattice.z, best, hit);
        best = min(best, hit.t);
      }
    }
    fresh = next >= best;
    t = next;
    if (next == ts) cell += rate.x > 0.0 ? 1 : -1;
  }
  if (hit.t < span) hit.t += lo;
  return hit;
}
#endif
#endif
