#include "../common/hash.glsl"
#include "buffers.glsl"
#ifndef EYE_ONLY
#include "kindRay.glsl"
#endif

// Where the eye stands, in the cloth's own axes. Without perspective uTanPerPixel is 0, with it uMmPerPixel is.
uniform highp vec3 uEye;
uniform highp vec3 uRight;
uniform highp vec3 uUp;
uniform highp vec3 uForward;
uniform highp float uMmPerPixel;
uniform highp float uTanPerPixel;
uniform highp vec2 uPictureSize;  // pixels
uniform highp vec2 uPixelOffset;  // of this target's corner within the picture
uniform highp vec2 uJitter;       // within the pixel, 0..1
uniform highp float uJitterSpread; // 1 shifts it from pixel to pixel, so that undersampling is noise and not false stripes
uniform highp float uHairDrawn;    // 1 where hair is drawn and not met by rays
uniform highp float uRayStart;

struct Ray {
  vec3 origin;
  vec3 direction;
};

#ifndef EYE_ONLY
// From just outside the cloth.
Ray kindRay(ivec2 pixel) {
  vec2 node;
  vec3 place = kindPlace(pixel, node);
  bool perspective = uTanPerPixel > 0.0;
  vec3 toNode = vec3(mix(uKindView.xy, uKindView.zw, node), place.z) - uEye;
  vec3 direction = perspective ? normalize(toNode) : uForward;
  float back = (0.5 * (uBoundsMax.z - uBoundsMin.z) + 0.1) / max(0.05, abs(direction.z));
  if (perspective) seenBefore = length(toNode) - back;
  return Ray(place - back * direction, direction);
}
#endif

// Through a place in the picture, pixels from its corner.
Ray rayThrough(vec2 place) {
  vec2 q = place - 0.5 * uPictureSize;
  vec3 across = q.x * uRight + q.y * uUp;
  return Ray(uEye + uMmPerPixel * across, normalize(uForward + uTanPerPixel * across));
}

Ray viewRay(vec2 fragCoord) {
#ifndef EYE_ONLY
  if (drawsKinds()) return kindRay(ivec2(fragCoord));
#endif
  vec2 pixel = floor(fragCoord) + uPixelOffset;
  vec2 shift = uJitterSpread * unitFromHash(hash3(uvec3(uvec2(pixel), 0x51ed270bu))).xy;
  return rayThrough(pixel + fract(uJitter + shift));
}

// Drawn hair is seen through the same place in every pixel of a sample: what lies over that place is what is drawn there, and
// hair grows too unevenly for false stripes.
Ray drawnHairRay(vec2 fragCoord) {
  return rayThrough(floor(fragCoord) + uPixelOffset + uJitter);
}

// Where on the target what is drawn there belongs, of a place in pixels from the picture's middle: that place lies under pixels' middles.
vec2 drawnHairPlace(vec2 fromMiddle) {
  return fromMiddle + 0.5 * uPictureSize - uPixelOffset + 0.5 - uJitter;
}

Ray hairRay(vec2 fragCoord) {
  if (uHairDrawn > 0.5) return drawnHairRay(fragCoord);
  return viewRay(fragCoord);
}

// Width of a pixel's footprint square to the ray, mm.
float pixelMmAt(float t) {
#ifndef EYE_ONLY
  t += seenBefore;
#endif
  return uMmPerPixel + uTanPerPixel * max(t, 0.0);
}

// A bent normal may turn away from the eye at the rim; it is brought back to face it.
vec3 towardsEye(vec3 normal, vec3 rayDirection) {
  float turned = dot(normal, rayDirection);
  return turned > 0.0 ? normalize(normal - 1.02 * turned * rayDirection) : normal;
}

// Layers of open strips are met from both sides: their normal is turned to the side that is seen.
vec3 seenSide(vec3 normal, vec3 rayDirection) {
#ifdef MESH
  return dot(normal, rayDirection) > 0.1 ? -normal : normal;
#else
  return normal;
#endif
}
