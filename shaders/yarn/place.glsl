#include "../common/hash.glsl"
#include "../common/level.glsl"
#include "../common/loops.glsl"
#include "../scatter/optics.glsl"
#include "../cloth/meshPart.glsl"

const float TURN = 6.283185307179586;

// A place on a thread's surface.
struct ThreadPlace {
  vec3 normal;
  vec3 axis;      // along the thread
  float around;   // angle about the axis, growing as a right-handed screw turns
  float along;    // mm along the thread
  vec2 halfSize;  // semi-axes here, mm
  float radius;   // of the thread where it is pressed, the same all along it
  float swell;    // section here over the pressed one; of a mesh, what of it was met (meshPart)
#ifdef MESH
  int part;       // face of the part of a mesh that was met; -1: none
#endif
  int material;
  int thread;     // row * 2, or end * 2 + 1
};

ThreadPlace threadPlaceAt(int kind, int index, vec3 at, vec3 normal, vec3 axis, float swell) {
  ThreadPlace r;
  r.normal = normal;
  r.axis = axis;
  r.swell = swell;
  r.thread = ownerOf(kind, index);
  r.along = kind == KIND_WARP ? at.y : at.x;
  if (kind == KIND_EXTRA) {
    vec3 from = texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS), 0).xyz;
    // A thread's end runs out of the cloth, against or with the thread's own sense.
    vec2 away = at.xy - from.xy;
    bool isWarp = (r.thread & 1) == 1;
    r.along = isWarp ? from.y + sign(away.y) * length(away) : from.x + sign(away.x) * length(away);
  }
  vec4 thread = threadTexel(r.thread);
  r.halfSize = swell * thread.yz;
  r.radius = 0.5 * (thread.y + thread.z);
  r.material = int(thread.w);
#ifdef MESH
  // Ends and turns are drawn closed, all strands side by side.
  r.part = kind == KIND_EXTRA ? -1 : meshPartFace(r.material, swell);
#endif
#ifdef HAIR
  // A loop's strand or a frayed thread is round and as thick as it is anywhere.
  if (isHair(swell)) {
    r.radius = texelFetch(uMaterialTable, tableAt(r.material * MATERIAL_TEXELS + HAIR_TEXEL), 0).w;
    r.halfSize = vec2(r.radius);
    thread.yz = r.halfSize;
  }
#endif
  // On an ellipse the normal is the place over the squared semi-axes.
  vec3 level = levelBeside(axis);
  r.around = atan(dot(normal, cross(axis, level)) * thread.z, dot(normal, level) * thread.y);
  return r;
}

float fadeOut(float periodMm, float pixelMm) {
  return smoothstep(1.0, 2.0, periodMm / max(2.0 * pixelMm, 1e-6));
}

// Numbers 0..1 strewn at the corners of a plane's cells, which wraps every `period` in x: of a cell lower left, lower right, upper
// left, upper right.
vec4 strewnCorners(vec2 cell, int period, int seed) {
  // What % leaves of less than 0 GLSL does not say.
  int x0 = int(cell.x - float(period) * floor((cell.x + 0.5) / float(period)));
  int x1 = (x0 + 1) % period;
  int y0 = int(cell.y);
#ifdef LOOPS_FEW
  vec4 v = vec4(0.0);
  for (int k = 0; k < LOOP(4); k++) {
    uvec2 corner = uvec2((k & 1) == 0 ? x0 : x1, y0 + (k >> 1));
    v = vec4(v.yzw, unitFromHash(hash3(uvec3(corner, uint(seed)))).x);
  }
  return v;
#else
  return vec4(
    unitFromHash(hash3(uvec3(uint(x0), uint(y0), uint(seed)))).x,
    unitFromHash(hash3(uvec3(uint(x1), uint(y0), uint(seed)))).x,
    unitFromHash(hash3(uvec3(uint(x0), uint(y0 + 1), uint(seed)))).x,
    unitFromHash(hash3(uvec3(uint(x1), uint(y0 + 1), uint(seed)))).x
  );
#endif
}

// Between corners, smoothly: height, and how it rises in x and in y. f: place within the cell.
vec3 smoothBetween(vec4 v, vec2 f) {
  vec2 rate = 6.0 * f * (1.0 - f);
  f = f * f * (3.0 - 2.0 * f);
  float lower = mix(v.x, v.y, f.x);
  float upper = mix(v.z, v.w, f.x);
  return vec3(mix(lower, upper, f.y), rate * vec2(mix(v.y - v.x, v.w - v.z, f.y), upper - lower));
}

// The same in two flat triangles a cell.
vec3 flatBetween(vec4 v, vec2 f) {
  bool lower = f.x + f.y < 1.0;
  vec2 rise = lower ? v.yz - v.x : v.w - v.zy;
  return vec3(lower ? v.x + dot(rise, f) : v.w - dot(rise, 1.0 - f), rise);
}

vec3 wrappedNoiseRise(vec2 at, int period, int seed) {
  vec2 cell = floor(at);
  return smoothBetween(strewnCorners(cell, period, seed), at - cell);
}

float wrappedNoise(vec2 at, int period, int seed) {
  return wrappedNoiseRise(at, period, seed).x;
}
