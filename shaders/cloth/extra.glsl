#include "buffers.glsl"

// Thread ends and turns: elliptical tubes about quadratic Bézier curves. Twin: walk/intersectExtra.ts.
// Heights are scaled by width over height, so that the section is round.
struct Extra {
  vec3 p0;
  vec3 p1;
  vec3 p2;
  float radius;
  float scale;
  int owner;
};

Extra loadExtra(int index) {
  vec4 a = texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS), 0);
  vec4 b = texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS + 1), 0);
  vec4 c = texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS + 2), 0);
  vec3 stretch = vec3(1.0, 1.0, 1.0 / b.w);
  return Extra(a.xyz * stretch, b.xyz * stretch, c.xyz * stretch, a.w, stretch.z, int(c.w));
}

vec3 extraPoint(Extra e, float s) {
  float r = 1.0 - s;
  return r * r * e.p0 + 2.0 * r * s * e.p1 + s * s * e.p2;
}

vec3 extraTangent(Extra e, float s) {
  return 2.0 * mix(e.p1 - e.p0, e.p2 - e.p1, s);
}

float nearestOnExtra(Extra e, float start, vec3 at) {
  float s = start;
  for (int k = 0; k < LOOP(3); k++) {
    vec3 tangent = extraTangent(e, s);
    s = clamp(s + dot(at - extraPoint(e, s), tangent) / max(dot(tangent, tangent), 1e-12), 0.0, 1.0);
  }
  return s;
}

// Where on the curve it comes nearest to a place, 0..1.
float shareOnExtra(Extra e, vec3 at) {
  float share = 0.0;
  float nearest = NEVER;
  for (int k = 0; k <= LOOP(EXTRA_PIECES); k++) {
    float s = float(k) / float(EXTRA_PIECES);
    vec3 away = at - extraPoint(e, s);
    if (dot(away, away) < nearest) {
      nearest = dot(away, away);
      share = s;
    }
  }
  return nearestOnExtra(e, share, at);
}

// Capsule from a to a + axis: x the t of entry (NEVER if missed), y where along the axis.
vec2 intersectCapsule(vec3 from, vec3 axis, float r, vec3 o, vec3 d) {
  vec3 away = o - from;
  float bb = dot(axis, axis);
  float bd = dot(axis, d);
  float ba = dot(axis, away);
  float dd = dot(d, d);
  float a = bb * dd - bd * bd;
  float b = bb * dot(d, away) - ba * bd;
  float c = bb * dot(away, away) - ba * ba - r * r * bb;
  float h = b * b - a * c;
  if (h < 0.0) return vec2(NEVER, 0.0);
  float t = (-b - sqrt(h)) / max(a, 1e-20);
  float y = ba + t * bd;
  if (y > 0.0 && y < bb) return vec2(t, y / bb);
  float cap = y <= 0.0 ? 0.0 : 1.0;
  vec3 centre = away - cap * axis;
  float b2 = dot(d, centre);
  float h2 = b2 * b2 - dd * (dot(centre, centre) - r * r);
  if (h2 < 0.0) return vec2(NEVER, 0.0);
  return vec2((-b2 - sqrt(h2)) / dd, cap);
}

float intersectCylinder(vec3 from, vec3 axis, float r, vec3 o, vec3 d) {
  vec3 away = o - from;
  float bb = dot(axis, axis);
  float bd = dot(axis, d);
  float ba = dot(axis, away);
  float a = bb * dot(d, d) - bd * bd;
  float b = bb * dot(d, away) - ba * bd;
  float c = bb * dot(away, away) - ba * ba - r * r * bb;
  float h = b * b - a * c;
  return h < 0.0 ? NEVER : (-b - sqrt(h)) / max(a, 1e-20);
}

vec3 extraNormal(Extra e, float share, vec3 at) {
  vec3 away = vec3(at.xy, at.z * e.scale) - extraPoint(e, share);
  return normalize(vec3(away.xy, away.z * e.scale));
}

float intersectExtra(int index, vec3 origin, vec3 direction, float tMin, float tMax) {
  Extra e = loadExtra(index);
  vec3 o = vec3(origin.xy, origin.z * e.scale);
  vec3 d = vec3(direction.xy, direction.z * e.scale);
  // The curve lies in the box of its control points.
  vec3 safe = vec3(abs(d.x) < 1e-12 ? 1e-12 : d.x, abs(d.y) < 1e-12 ? 1e-12 : d.y, abs(d.z) < 1e-12 ? 1e-12 : d.z);
  vec3 ta = (min(min(e.p0, e.p1), e.p2) - e.radius - o) / safe;
  vec3 tb = (max(max(e.p0, e.p1), e.p2) + e.radius - o) / safe;
  vec3 tNear = min(ta, tb);
  vec3 tFar = max(ta, tb);
  if (max(max(tMin, tNear.x), max(tNear.y, tNear.z)) > min(min(tMax, tFar.x), min(tFar.y, tFar.z))) return NEVER;
  float best = tMax;
  float share = -1.0;
  vec3 from = e.p0;
  for (int k = 0; k < LOOP(EXTRA_PIECES); k++) {
    vec3 to = extraPoint(e, float(k + 1) / float(EXTRA_PIECES));
    vec2 hit = intersectCapsule(from, to - from, e.radius, o, d);
    if (hit.x > tMin && hit.x < best) {
      best = hit.x;
      share = (float(k) + hit.y) / float(EXTRA_PIECES);
    }
    from = to;
  }
  if (share < 0.0) return NEVER;
  for (int k = 0; k < LOOP(2); k++) {
    share = nearestOnExtra(e, share, o + best * d);
    if (share <= 0.0 || share >= 1.0) break;
    float next = intersectCylinder(extraPoint(e, share), extraTangent(e, share), e.radius, o, d);
    if (!(next > tMin && next < tMax)) break;
    best = next;
  }
  return best;
}
