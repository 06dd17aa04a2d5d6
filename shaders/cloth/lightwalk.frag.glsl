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
#include "hairMedium.glsl"
#include "roomRay.glsl"
#include "../yarn/plies.glsl"
#ifdef CLEAR
#include "clear.glsl"
#endif

uniform highp sampler2D uId;
uniform highp sampler2D uDepth;
uniform highp sampler2D uNormal;
uniform highp sampler2D uAxis;

layout(location = 0) out highp vec4 outLight;

void main() {
  ivec2 texel = ivec2(gl_FragCoord.xy);
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  outLight = vec4(0.0);
  int asked = lightAsked(pixel);
  if (asked == ASKS_NOTHING) return;
  int kind;
  int index;
  // All at once, so that the fetches overlap.
  vec4 id = texelFetch(uId, texel, 0);
  vec4 depthBytes = texelFetch(uDepth, texel, 0);
  vec4 normalBytes = texelFetch(uNormal, texel, 0);
  decodeId(id, kind, index);
  if (kind == KIND_NONE) return;
  Ray ray = viewRay(gl_FragCoord.xy);
  vec3 normal = seenSide(decodeNormal(normalBytes), ray.direction);
  float depth = decodeDepth(depthBytes);
  vec3 at = ray.origin + depth * ray.direction;
  vec2 sequence = lightSequence(pixel);
  vec3 direction = lightDirection(sequence, normal, asked);
#ifdef HAIR
  float swell;
  vec3 axis = decodeAxis(texelFetch(uAxis, texel, 0), swell);
  bool ofHair = isHair(swell);
  if (ofHair) {
    ray = hairRay(gl_FragCoord.xy);
    at = ray.origin + depth * ray.direction;
  }
  bool fromHair = ofHair && !hairIsStrand(int(threadTexel(ownerOf(kind, index)).w));
  // Of the room hair takes the estimate.
  if (fromHair && asked == ASKS_ROOM) return;
#else
  const bool fromHair = false;
  const bool ofHair = false;
#endif
#ifdef LOBED
  if (asked == ASKS_ROOM && asksByFace(int(threadTexel(ownerOf(kind, index)).w))) {
#ifndef HAIR
    float swell;
    vec3 axis = decodeAxis(texelFetch(uAxis, texel, 0), swell);
#endif
    ThreadPlace place = threadPlaceAt(kind, index, at, normal, axis, swell);
    Optics optics = opticsAt(strandTexel(place, texelFetch(uMaterialTable, tableAt(place.material * MATERIAL_TEXELS), 0)));
    vec3 tangent = fibreTangent(axis, normal, ofHair ? 0.0 : optics.fibreAngle);
    if (asksByLobe(optics)) direction = lobeRoomDirection(sequence, optics, normal, tangent, -ray.direction);
    if (optics.kind != SURFACE_FIBRE) {
      vec3 leant = normal;
      leanFacets(place, optics, leant, tangent);
      direction = mirrorDirection(sequence, towardsEye(leant, ray.direction), -ray.direction, optics.surfaceWidth);
    }
  }
#endif
  int met = LIGHT_OPEN;
#ifdef HAIR
  float hairDepth = 0.0;
#endif
  // What faces away from the light is dark without a ray.
  if (fromHair || dot(direction, normal) > 0.0) {
    // Far enough off the thread that rounding does not put the start inside it.
    vec3 origin = at + START_OFF_MM * normal;
    int from = kind == KIND_EXTRA || ofHair ? -1 : ownerOf(kind, index);
#if defined(COLUMNS)
    int inWay = columnsInWay(origin, direction, ofHair ? -1 : ownerOf(kind, index), uvec3(uvec2(pixel), uint(uSample) << 8u));
    bool blocked = inWay >= 0;
    if (blocked) met = LIGHT_MATERIAL + int(threadTexel(inWay).w);
#elif defined(CLEAR)
    float start = 0.0;
    Hit hit;
    // Light goes through clear threads.
    for (int pass = 0; pass < LOOP(CLEAR_PASSES); pass++) {
      hit = walkCloth(origin, direction, start, NEVER, from);
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
    Hit hit = walkCloth(origin, direction, 0.0, NEVER, from);
    if (hit.kind != KIND_NONE) met = LIGHT_MATERIAL + int(threadTexel(ownerOf(hit.kind, hit.index)).w);
#endif
#if defined(COUNT_WORK) && !defined(COLUMNS)
    outLight = encodeWork(hit.steps, hit.candidates);
    return;
#endif
#ifndef COLUMNS
    bool blocked = hit.kind != KIND_NONE;
#endif
#ifdef HAIR
    // Where a body stands in the way, hair makes no difference.
    if (!blocked) {
      hairDepth = hairDepthTowards(origin, direction, uvec3(uvec2(pixel), (uint(uSample) << 8u) + 113u));
      if (kind == KIND_EXTRA) hairDepth += hairDepthOfExtra(index, origin, direction);
    }
#endif
  }
#ifdef HAIR
  // And the share that comes through the hair on the way.
  outLight = vec4(float(met) / 255.0, exp(-hairDepth), 0.0, 0.0);
#else
  outLight = vec4(float(met) / 255.0, 0.0, 0.0, 0.0);
#endif
}
