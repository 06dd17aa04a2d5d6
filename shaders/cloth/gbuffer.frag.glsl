// Nearest thread per pixel: who, how far, facing where, running where.
#include "../common/encode.glsl"
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "farView.glsl"
#ifdef HAIR_DRAWN
#include "hairDepth.glsl"
#endif
#ifdef CLEAR
#include "clear.glsl"

uniform highp int uSample;

// A pixel's chances come evenly over its samples (golden ratio), so that few of them show what share goes on.
float chanceAt(vec2 fragCoord, int owner) {
  uvec2 pixel = uvec2(ivec2(floor(fragCoord) + uPixelOffset) + 65536);
  return fract(unitFromHash(hash3(uvec3(pixel, 211u + uint(owner)))).x + 0.618034 * float(uSample));
}
#endif

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;

Surface surfaceAt(Hit hit, vec3 at) {
  if (hit.kind == KIND_NONE) return Surface(vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), 1.0);
#ifdef HAIR_HITS
  if (hit.isHair) return surfaceOfHair(hit.kind, hit.hair);
#endif
  if (hit.kind == KIND_EXTRA) return surfaceOfExtra(hit.index, at);
  return surfaceOfThread(hit.kind, hit.index, hit.cell, at);
}

void main() {
  Ray ray = viewRay(gl_FragCoord.xy);
  // Where the far picture stands alone, nothing is walked.
  if (farPlace(ray).share >= 1.0) {
    outId = encodeId(KIND_NONE, 0, 0.0);
    outDepth = vec4(0.0);
    outNormal = vec4(0.0);
    outAxis = vec4(0.0);
#ifdef HAIR_DRAWN
    gl_FragDepth = 1.0;
#endif
    return;
  }
#ifdef CLEAR
  Hit hit;
  Surface surface;
  float start = uRayStart;
  int from = -1;
  for (int pass = 0; pass < LOOP(CLEAR_PASSES); pass++) {
    hit = walkCloth(ray.origin, ray.direction, start, NEVER, from);
    surface = surfaceAt(hit, ray.origin + hit.t * ray.direction);
    int owner = ownerOf(hit.kind, hit.index);
    int material = hit.kind == KIND_NONE ? 0 : int(threadTexel(owner).w);
    if (hit.kind == KIND_NONE || pass == CLEAR_PASSES - 1 || !isClear(material)) break;
    if (chanceAt(gl_FragCoord.xy, owner) > goesOn(material, abs(dot(surface.normal, ray.direction)))) break;
    // At once, since what lies behind may press into it. Itself it does not meet again.
    start = hit.t + GOES_ON_MM;
    from = hit.kind == KIND_EXTRA ? -1 : owner;
  }
#else
  Hit hit = walkCloth(ray.origin, ray.direction, uRayStart, NEVER, -1);
  Surface surface = surfaceAt(hit, ray.origin + hit.t * ray.direction);
#endif
  outId = encodeId(hit.kind, hit.index, hit.level);
#ifdef COUNT_WORK
  outDepth = encodeWork(hit.steps, hit.candidates);
#else
  outDepth = encodeDepth(hit.t);
#endif
  outNormal = encodeNormal(surface.normal);
  outAxis = encodeAxis(surface.axis, surface.swell);
#ifdef HAIR_DRAWN
  // Hair is drawn over this.
  gl_FragDepth = hit.kind == KIND_NONE ? 1.0 : bufferDepth(hit.t * dot(ray.direction, uForward));
#endif
}
