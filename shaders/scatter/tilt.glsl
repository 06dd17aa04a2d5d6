#include "../common/hash.glsl"

// How a thread's facet leans along and across at a place along it; the twin of src/engine/scatter/facetTilt.ts.
vec2 facetTilt(int thread, float alongMm, float lengthMm, float tilt) {
  const float SPREAD = 2.0095924;
  float place = alongMm / max(1e-3, lengthMm);
  float cell = floor(place);
  float part = place - cell;
  vec2 low = 2.0 * unitFromHash(hash3(uvec3(uint(thread), uint(int(cell)), 4242u))).xy - 1.0;
  vec2 high = 2.0 * unitFromHash(hash3(uvec3(uint(thread), uint(int(cell) + 1), 4242u))).xy - 1.0;
  return tilt * SPREAD * mix(low, high, part * part * (3.0 - 2.0 * part));
}

void leanFrame(inout vec3 normal, inout vec3 tangent, vec2 lean) {
  normal = normalize(normal - lean.x * tangent - lean.y * cross(normal, tangent));
  tangent = normalize(tangent - dot(tangent, normal) * normal);
}
