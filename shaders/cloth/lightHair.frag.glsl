// What hair takes of the light on the way of rays that met nothing else: taken off what the walk to the light told, in whose alpha
// stands which those are.
#define HAIR_MEDIUM
#include "../common/encode.glsl"
#include "view.glsl"
#include "tube.glsl"
#include "extra.glsl"
#include "hair.glsl"
#include "hairMedium.glsl"
#include "roomRay.glsl"
#include "../yarn/plies.glsl"
#include "lightRay.glsl"

layout(location = 0) out highp vec4 outTaken;

void main() {
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  LightRay r = lightRay(pixel);
  if (!r.isAsked || !r.isSent) discard;
  outTaken = vec4(0.0, 1.0 - exp(-hairDepthOn(r, pixel)), 0.0, 0.0);
}
