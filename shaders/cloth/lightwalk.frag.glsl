// What stands between the thread that a pixel shows and the light that the pixel asks after in this sample.
#define ANY_HIT
#include "../common/encode.glsl"
#include "view.glsl"
#include "tube.glsl"
#include "extra.glsl"
#include "hair.glsl"
// Here: included by one of the two ways below alone, the other would lack it.
#include "extraHair.glsl"
#ifdef COLUMNS
#include "columns.glsl"
#else
#include "walk.glsl"
#endif
#if defined(COLUMNS) && defined(HAIR)
#define HAIR_MEDIUM
#include "hairMedium.glsl"
#endif
#include "roomRay.glsl"
#include "../yarn/plies.glsl"
#ifdef CLEAR
#include "clear.glsl"
#endif

#include "lightRay.glsl"

layout(location = 0) out highp vec4 outLight;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  LightRay r = lightRay(pixel);
  outLight = vec4(0.0);
  if (!r.isAsked) return;
  int met = LIGHT_OPEN;
#ifdef HAIR_MEDIUM
  float hairDepth = 0.0;
#endif
  if (r.isSent) {
#if defined(COLUMNS)
    int inWay = columnsInWay(r.origin, r.direction, r.owner, uvec3(uvec2(pixel), uint(uSample) << 8u));
    if (inWay >= 0) met = LIGHT_MATERIAL + int(threadTexel(inWay).w);
#ifdef HAIR_MEDIUM
    // Where a body stands in the way, hair makes no difference.
    else hairDepth = hairDepthOn(r, pixel);
#endif
#else
    int from = r.kind == KIND_EXTRA ? -1 : r.owner;
#if defined(CLEAR)
    float start = 0.0;
    Hit hit;
    // Light goes through clear threads.
    for (int pass = 0; pass < LOOP(CLEAR_PASSES); pass++) {
      hit = walkCloth(r.origin, r.direction, start, NEVER, from);
      if (hit.kind == KIND_NONE) break;
      int owner = ownerOf(hit.kind, hit.index);
      vec4 thread = threadTexel(owner);
      if (!isClear(int(thread.w))) {
        met = LIGHT_MATERIAL + int(thread.w);
        break;
      }
      start = hit.t + 2.0 * max(thread.y, thread.z);
      from = hit.kind == KIND_EXTRA ? -1 : owner;
    }
#else
    Hit hit = walkCloth(r.origin, r.direction, 0.0, NEVER, from);
    if (hit.kind != KIND_NONE) met = LIGHT_MATERIAL + int(threadTexel(ownerOf(hit.kind, hit.index)).w);
#endif
#ifdef COUNT_WORK
    outLight = encodeWork(hit.steps, hit.candidates);
    return;
#endif
#endif
  }
  outLight = vec4(float(met) / 255.0, 0.0, 0.0, 0.0);
#if defined(HAIR_MEDIUM)
  // And the share that comes through the hair on the way.
  outLight.y = exp(-hairDepth);
#elif defined(HAIR)
  // That share is left to be told (lightHair.frag.glsl), where the ray met nothing.
  outLight.yw = vec2(1.0, met == LIGHT_OPEN && r.isSent ? 1.0 : 0.0);
#endif
}
