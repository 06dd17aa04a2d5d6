// Nearest thread per pixel: who, how far, facing where, running where.
#include "../common/encode.glsl"
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "farView.glsl"

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;

void main() {
  Ray ray = viewRay(gl_FragCoord.xy);
  // Where the far picture stands alone, nothing is walked.
  if (farPlace(ray).share >= 1.0) {
    outId = encodeId(KIND_NONE, 0, 0.0);
    outDepth = vec4(0.0);
    outNormal = vec4(0.0);
    outAxis = vec4(0.0);
    return;
  }
  Hit hit = walkCloth(ray.origin, ray.direction, uRayStart, NEVER, -1);
  Surface surface = Surface(vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), 1.0);
  vec3 at = ray.origin + hit.t * ray.direction;
  if (hit.kind == KIND_EXTRA) surface = surfaceOfExtra(hit.index, at);
#ifdef HAIR
  else if (hit.isHair) surface = surfaceOfHair(hit.kind, hit.hair);
#endif
  else if (hit.kind != KIND_NONE) surface = surfaceOfThread(hit.kind, hit.index, hit.cell, hit.along, at);
  outId = encodeId(hit.kind, hit.index, hit.level);
#ifdef COUNT_WORK
  outDepth = encodeWork(hit.steps, hit.candidates);
#else
  outDepth = encodeDepth(hit.t);
#endif
  outNormal = encodeNormal(surface.normal);
  outAxis = encodeAxis(surface.axis, surface.swell);
}
