// Nearest thread per pixel: who, how far, facing where, running where. With SURFACE_APART, who, how far, and in which cell along
// itself: surfaces.frag.glsl tells the rest.
#include "../common/encode.glsl"
#include "view.glsl"
#include "walk.glsl"
#ifndef SURFACE_APART
#include "surface.glsl"
#endif
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
#ifdef SURFACE_APART
layout(location = 2) out highp vec4 outCell;
#else
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;
#endif

void tell(Hit hit, Ray ray) {
  outId = encodeId(hit.kind, hit.index, hit.level);
#ifdef COUNT_WORK
  outDepth = encodeWork(hit.steps, hit.candidates);
#else
  outDepth = encodeDepth(hit.kind == KIND_NONE ? NEVER : hit.t);
#endif
#ifdef SURFACE_APART
  outCell = encodeId(KIND_NONE, max(0, hit.cell), 0.0);
#else
  outNormal = vec4(0.0);
  outAxis = vec4(0.0);
  if (hit.kind == KIND_NONE) return;
  Surface surface = surfaceAt(hit.kind, hit.index, hit.cell, ray.origin + hit.t * ray.direction);
  outNormal = encodeNormal(surface.normal);
  outAxis = encodeAxis(surface.axis, surface.swell);
#endif
}

void main() {
  Ray ray = viewRay(gl_FragCoord.xy);
  Hit hit = noHit();
  // Where the far picture stands alone, nothing is walked.
  if (farPlace(ray).share < 1.0) {
#ifdef CLEAR
    float start = uRayStart;
    int from = -1;
    for (int pass = 0; pass < LOOP(CLEAR_PASSES); pass++) {
      hit = walkCloth(ray.origin, ray.direction, start, NEVER, from);
      if (hit.kind == KIND_NONE || pass == CLEAR_PASSES - 1) break;
      int owner = ownerOf(hit.kind, hit.index);
      int material = int(threadTexel(owner).w);
      if (!isClear(material)) break;
      vec3 facing = hit.facing;
      if (hit.kind == KIND_EXTRA) {
        Extra e = loadExtra(hit.index);
        vec3 at = ray.origin + hit.t * ray.direction;
        facing = extraNormal(e, shareOnExtra(e, vec3(at.xy, at.z * e.scale)), at);
      }
      if (chanceAt(gl_FragCoord.xy, owner) > goesOn(material, abs(dot(facing, ray.direction)))) break;
      // At once, since what lies behind may press into it. Itself it does not meet again.
      start = hit.t + GOES_ON_MM;
      from = hit.kind == KIND_EXTRA ? -1 : owner;
    }
#else
    hit = walkCloth(ray.origin, ray.direction, uRayStart, NEVER, -1);
#endif
  }
  tell(hit, ray);
#ifdef HAIR_DRAWN
  // Hair is drawn over this.
  gl_FragDepth = hit.kind == KIND_NONE ? 1.0 : bufferDepth(hit.t * dot(ray.direction, uForward));
#endif
}
