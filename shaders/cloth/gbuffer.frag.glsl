// Nearest thread per pixel: who, how far, facing where, running where; and, where RAY_KINDS is 2, what one ray towards
// the light meets.
#include "../common/encode.glsl"
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "light.glsl"

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  Ray ray = viewRay(gl_FragCoord.xy);
  vec3 origin = ray.origin;
  vec3 direction = ray.direction;
  float begin = uRayStart;
  int kind = KIND_NONE;
  int index = 0;
  int shade = SHADE_NOT_ASKED;
  int steps = 0;
  int candidates = 0;
  float depth = 0.0;
  Surface surface = Surface(vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), 1.0);
  for (int rayKind = 0; rayKind < LOOP(RAY_KINDS); rayKind++) {
    Hit hit = walkCloth(origin, direction, begin, NEVER, rayKind > 0);
    steps += hit.steps;
    candidates += hit.candidates;
    if (rayKind == 0) {
      if (hit.kind == KIND_NONE) break;
      kind = hit.kind;
      index = hit.index;
      depth = hit.t;
      vec3 at = origin + depth * direction;
      if (kind == KIND_EXTRA) surface = surfaceOfExtra(index, at);
      else surface = surfaceOfThread(kind, index, hit.cell, hit.along, at);
#if RAY_KINDS > 1
      int asked = lightAsked(pixel);
      if (asked == ASKS_NOTHING) break;
      direction = lightDirection(pixel, surface.normal, asked);
      // What faces away from the light is dark without a ray.
      if (dot(direction, surface.normal) <= 0.0) {
        shade = SHADE_OPEN;
        break;
      }
      // Far enough off the thread that rounding does not put the start inside it.
      origin = at + surface.normal * START_OFF_MM;
      begin = 0.0;
#endif
    } else if (hit.kind == KIND_NONE) {
      shade = SHADE_OPEN;
    } else {
      int owner = hit.index * 2 + (hit.kind == KIND_WARP ? 1 : 0);
      if (hit.kind == KIND_EXTRA) owner = int(texelFetch(uExtraTable, tableAt(hit.index * EXTRA_TEXELS + 2), 0).w);
      shade = SHADE_MATERIAL + int(threadTexel(owner).w);
    }
  }
#ifdef COUNT_WORK
  // For measuring: steps and candidates in place of depth.
  outDepth = vec4(float(steps & 255), float(steps >> 8), float(candidates & 255), float(candidates >> 8)) / 255.0;
#else
  outDepth = encodeDepth(depth);
#endif
  outId = encodeId(kind, index, shade);
  outNormal = encodeNormal(surface.normal);
  outAxis = encodeAxis(surface.axis, surface.swell);
}
