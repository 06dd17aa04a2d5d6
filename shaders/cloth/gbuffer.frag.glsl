// Nearest thread per pixel: who, how far, with NORMALS facing where; and, where RAY_KINDS is 2, what one ray towards the
// light meets.
#include "../common/encode.glsl"
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "light.glsl"

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;

// Shade byte: 0 not asked, 1 open, 2 + material of what stands in the way.
const int SHADE_OPEN = 1;
const int SHADE_MATERIAL = 2;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  Ray ray = viewRay(gl_FragCoord.xy);
  vec3 origin = ray.origin;
  vec3 direction = ray.direction;
  float begin = uRayStart;
  int kind = KIND_NONE;
  int index = 0;
  int shade = 0;
  int steps = 0;
  int candidates = 0;
  float depth = 0.0;
  vec3 normal = vec3(0.0, 0.0, 1.0);
  for (int rayKind = 0; rayKind < LOOP(RAY_KINDS); rayKind++) {
    Hit hit = walkCloth(origin, direction, begin, NEVER, rayKind > 0);
    steps += hit.steps;
    candidates += hit.candidates;
    if (rayKind == 0) {
      if (hit.kind == KIND_NONE) break;
      kind = hit.kind;
      index = hit.index;
      depth = hit.t;
#if RAY_KINDS > 1 || defined(NORMALS)
      vec3 at = origin + depth * direction;
      Surface surface = surfaceAt(kind, index, at);
      normal = surface.normal;
#endif
#if RAY_KINDS > 1
      // Far enough off the thread that rounding does not put the start inside it.
      origin = at + normal * (0.01 * min(surface.halfSize.x, surface.halfSize.y));
      direction = lightDirection(pixel, normal);
      begin = 0.0;
      if (dot(direction, normal) <= 0.0) {
        shade = SHADE_OPEN;
        break;
      }
#endif
    } else if (hit.kind == KIND_NONE) {
      shade = SHADE_OPEN;
    } else {
      int owner = hit.index * 2 + (hit.kind == KIND_WARP ? 1 : 0);
      if (hit.kind == KIND_EXTRA) owner = int(texelFetch(uExtraTable, tableAt(hit.index * EXTRA_TEXELS + 2), 0).w);
      ivec2 texel = tableAt((owner >> 1) * THREAD_TEXELS);
      vec4 thread = (owner & 1) == 1 ? texelFetch(uEndTable, texel, 0) : texelFetch(uRowTable, texel, 0);
      shade = SHADE_MATERIAL + int(thread.w);
    }
  }
#ifdef COUNT_WORK
  // For measuring: steps and candidates in place of depth.
  outDepth = vec4(float(steps & 255), float(steps >> 8), float(candidates & 255), float(candidates >> 8)) / 255.0;
#else
  outDepth = encodeDepth(depth);
#endif
  outId = encodeId(kind, index, shade);
  outNormal = encodeNormal(normal);
}
