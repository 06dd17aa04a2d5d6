// Integer hashes: alike on every machine, which hashes through sine are not.

// Jarzynski and Olano 2020, "Hash functions for GPU rendering", JCGT 9(3): pcg3d.
uvec3 hash3(uvec3 v) {
  v = v * 1664525u + 1013904223u;
  v.x += v.y * v.z;
  v.y += v.z * v.x;
  v.z += v.x * v.y;
  v ^= v >> 16u;
  v.x += v.y * v.z;
  v.y += v.z * v.x;
  v.z += v.x * v.y;
  return v;
}

// 24 bits fill a float's significand: 0 <= result < 1.
vec3 unitFromHash(uvec3 h) {
  return vec3(h >> 8u) * (1.0 / 16777216.0);
}
