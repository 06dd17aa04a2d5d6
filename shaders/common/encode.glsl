// The picture buffer: four RGBA8 targets, so that no float target is needed.

uvec4 bytesOf(vec4 texel) {
  return uvec4(texel * 255.0 + 0.5);
}

// Level: height within the cloth, -1..1, in the byte that is left.
vec4 encodeId(int kind, int index, float level) {
  uint id = (uint(kind) << uint(ID_INDEX_BITS)) | uint(index);
  return vec4(float(id & 255u), float((id >> 8u) & 255u), float((id >> 16u) & 255u), clamp(127.5 + 127.5 * level, 0.0, 255.0)) / 255.0;
}

float decodeLevel(vec4 texel) {
  return 2.0 * texel.w - 1.0;
}

void decodeId(vec4 texel, out int kind, out int index) {
  uvec4 b = bytesOf(texel);
  uint id = b.x | (b.y << 8u) | (b.z << 16u);
  kind = int(id >> uint(ID_INDEX_BITS));
  index = int(id & ((1u << uint(ID_INDEX_BITS)) - 1u));
}

// For measuring: steps and candidates of a walk.
vec4 encodeWork(int steps, int candidates) {
  return vec4(float(steps & 255), float(steps >> 8), float(candidates & 255), float(candidates >> 8)) / 255.0;
}

// The bits of the float itself: nothing is lost and no range need be known.
vec4 encodeDepth(float depth) {
  uint bits = floatBitsToUint(depth);
  return vec4(float(bits & 255u), float((bits >> 8u) & 255u), float((bits >> 16u) & 255u), float(bits >> 24u)) / 255.0;
}

float decodeDepth(vec4 texel) {
  uvec4 b = bytesOf(texel);
  return uintBitsToFloat(b.x | (b.y << 8u) | (b.z << 16u) | (b.w << 24u));
}

// Octahedral normals, 16 bits each (Cigolle et al. 2014, "A survey of efficient representations for independent unit
// vectors", JCGT 3(2)); mean error about 0.002 degrees.
vec2 foldSign(vec2 v) {
  return vec2(v.x >= 0.0 ? 1.0 : -1.0, v.y >= 0.0 ? 1.0 : -1.0);
}

// A unit vector's place in a square, 0..1.
vec2 octahedral(vec3 n) {
  vec2 o = n.xy / (abs(n.x) + abs(n.y) + abs(n.z));
  if (n.z < 0.0) o = (1.0 - abs(o.yx)) * foldSign(o);
  return clamp(o * 0.5 + 0.5, 0.0, 1.0);
}

vec3 fromOctahedral(vec2 place) {
  vec2 o = place * 2.0 - 1.0;
  vec3 n = vec3(o, 1.0 - abs(o.x) - abs(o.y));
  if (n.z < 0.0) n.xy = (1.0 - abs(n.yx)) * foldSign(n.xy);
  return normalize(n);
}

vec4 encodeNormal(vec3 n) {
  uvec2 q = uvec2(octahedral(n) * 65535.0 + 0.5);
  return vec4(float(q.x & 255u), float(q.x >> 8u), float(q.y & 255u), float(q.y >> 8u)) / 255.0;
}

vec3 decodeNormal(vec4 texel) {
  uvec4 b = bytesOf(texel);
  return fromOctahedral(vec2(float(b.x | (b.y << 8u)), float(b.z | (b.w << 8u))) / 65535.0);
}

// The thread's direction to 12 bits a side (0.03 degrees), and in the last byte how much fuller than its contact section
// the thread is here, in hundredths.
const float SWELL_STEPS = 100.0;

// A hair has no section: the byte says how high on the hair it was met, which is less than any body's.
float hairSwell(float high) {
  return floor(clamp(high, 0.0, 1.0) * float(HAIR_STEPS) + 0.5) / SWELL_STEPS;
}

float hairHigh(float swell) {
  return swell * SWELL_STEPS / float(HAIR_STEPS);
}

bool isHair(float swell) {
  return swell * SWELL_STEPS < float(HAIR_STEPS) + 0.5;
}

float bodySwell(float swell) {
  return max(swell, (float(HAIR_STEPS) + 1.0) / SWELL_STEPS);
}

vec4 encodeAxis(vec3 axis, float swell) {
  uvec2 q = uvec2(octahedral(axis) * 4095.0 + 0.5);
  uint bits = q.x | (q.y << 12u);
  return vec4(float(bits & 255u), float((bits >> 8u) & 255u), float(bits >> 16u), min(255.0, floor(swell * SWELL_STEPS + 0.5))) / 255.0;
}

vec3 decodeAxis(vec4 texel, out float swell) {
  uvec4 b = bytesOf(texel);
  uint bits = b.x | (b.y << 8u) | (b.z << 16u);
  swell = float(b.w) / SWELL_STEPS;
  return fromOctahedral(vec2(float(bits & 4095u), float(bits >> 12u)) / 4095.0);
}
