#include "tube.glsl"

#ifdef HAIR
// Hair that a ray to the light has come through: optical depth.
float hairDepth = 0.0;

vec2 centreBeside(Segment s, float u) {
  float q = u * (1.0 - u);
  return vec2(
    s.o.x + u * (s.o.y + u * (s.o.z + u * s.o.w)),
    s.z.x + u * (s.z.y + u * (s.z.z + u * s.z.w)) + q * q * (s.wrap.x + u * s.wrap.y)
  );
}

#ifdef ANY_HIT
// Optical depth of a thread's hair for light between tMin and tMax: what stands in the way on average. Windows are so wide
// that no single hair throws a shadow of its own (packHair.ts has the density).
float hairDepthAlong(Segment s, vec3 o, vec3 d, float tMin, float tMax) {
  float uO = (o.x - s.along) / s.pitch;
  float uD = d.x / s.pitch;
  float lo = tMin;
  float hi = tMax;
  if (abs(uD) < 1e-7) {
    if (uO < 0.0 || uO > 1.0) return 0.0;
  } else {
    lo = max(lo, min(-uO / uD, (1.0 - uO) / uD));
    hi = min(hi, max(-uO / uD, (1.0 - uO) / uD));
  }
  if (lo >= hi) return 0.0;
  // Beside the centre line the ray is straight from end to end.
  vec2 from = o.yz + lo * d.yz - centreBeside(s, uO + lo * uD);
  vec2 rate = (o.yz + hi * d.yz - centreBeside(s, uO + hi * uD) - from) / (hi - lo);
  float middle = clamp(uO + 0.5 * (lo + hi) * uD, 0.0, 1.0);
  vec2 size = s.section.xz + middle * middle * (3.0 - 2.0 * middle) * s.section.yw;
  vec4 density = texelFetch(uMaterialTable, tableAt(s.hairTexel + 3), 0);
  float reach = density.z > 0.0 ? min(s.hair.x, MEDIUM_SCALES * density.z) : s.hair.x;
  float most = max(size.x, size.y) + reach;
  float a = dot(rate, rate);
  float b = dot(from, rate);
  float disc = b * b - a * (dot(from, from) - most * most);
  if (disc <= 0.0 || a < 1e-10) return 0.0;
  float root = sqrt(disc);
  float t0 = max(0.0, (-b - root) / a);
  float t1 = min(hi - lo, (-b + root) / a);
  if (t0 >= t1) return 0.0;
  float squash = 1.0;
  bool isEdge = texelFetch(uMaterialTable, tableAt(s.hairTexel + 1), 0).w == 2.0;
  float full = texelFetch(uMaterialTable, tableAt(s.hairTexel + 2), 0).w;
  if (full > 0.0) squash = min(1.0, (size.x + size.y) / (s.hair.z * full * (s.contact.x + s.contact.y)));
  float shell = reach * squash;
  float sum = 0.0;
  for (int k = 0; k < LOOP(3); k++) {
    // Gauss-Legendre of three points.
    float place = 0.5 + 0.38729833 * float(k - 1);
    vec2 at = from + mix(t0, t1, place) * rate;
    float radius = max(length(at), 1e-4);
    vec2 scaled = at / (radius * size);
    float high = max(0.0, radius - inversesqrt(dot(scaled, scaled)));
    float here = density.z > 0.0 ? exp(-high / density.z) / density.z : 1.0 / shell;
    // Frayed threads stand off the edges: as the fourth power of the cosine from there, whose mean is 3/8.
    float sidewards = at.x / radius;
    if (isEdge) here *= (8.0 / 3.0) * sidewards * sidewards * sidewards * sidewards;
    if (high < shell) sum += (k == 1 ? 0.44444444 : 0.27777778) * here / radius;
  }
  return density.y * sum * (t1 - t0);
}
#endif
#endif
