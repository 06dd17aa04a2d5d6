// Hair that lines of sight meet before the threads that they met: where nothing is drawn hair by hair.
#define HAIR_ALONE
#include "../common/encode.glsl"
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "farView.glsl"

uniform highp sampler2D uDepth;

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;

void main() {
  Ray ray = viewRay(gl_FragCoord.xy);
  if (farPlace(ray).share >= 1.0) discard;
  Hit hit = walkCloth(ray.origin, ray.direction, uRayStart, decodeDepth(texelFetch(uDepth, ivec2(gl_FragCoord.xy), 0)), -1);
  if (hit.kind == KIND_NONE) discard;
  Surface surface = surfaceOfHair(hit.kind, hit.hair);
  outId = encodeId(hit.kind, hit.index, hit.level);
  outDepth = encodeDepth(hit.t);
  outNormal = encodeNormal(surface.normal);
  outAxis = encodeAxis(surface.axis, surface.swell);
}
