#include "../common/hash.glsl"
#include "../common/loops.glsl"

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

// How an embossed film's patch is ruled: turn from the thread's direction, rad, and pitch over the mean. at: along and across, mm.
vec2 gratingPatch(int thread, vec2 at, bool back, float patchMm) {
  vec2 place = at / patchMm + vec2(0.0, back ? 64.0 : 0.0);
  ivec2 middle = ivec2(floor(place));
  float nearest = 1e9;
  float found = 0.0;
  for (int k = 0; k < FEW(9); k++) {
    ivec2 cell = middle + ivec2(k % 3, k / 3) - 1;
    vec3 u = unitFromHash(hash3(uvec3(uint(cell.x + 65536), uint(cell.y + 65536), uint(thread + 7177))));
    vec2 off = vec2(cell) + u.xy - place;
    float away = dot(off, off);
    if (away < nearest) {
      nearest = away;
      found = u.z;
    }
  }
  return vec2(3.14159265 * found, 0.8 + 0.4 * fract(7.0 * found));
}

void leanFrame(inout vec3 normal, inout vec3 tangent, vec2 lean) {
  normal = normalize(normal - lean.x * tangent - lean.y * cross(normal, tangent));
  tangent = normalize(tangent - dot(tangent, normal) * normal);
}
