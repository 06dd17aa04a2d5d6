// Light on what the picture buffer holds, averaged with the samples before (previous mean in uHistory).
#include "../common/encode.glsl"
#include "view.glsl"
#include "extra.glsl"
#include "roomRay.glsl"
#include "../yarn/plies.glsl"
#include "../yarn/leaf.glsl"
#include "../scatter/scatter.glsl"
#include "lit.glsl"
#ifdef CLEAR
#include "clear.glsl"
#endif
#include "farView.glsl"

uniform highp sampler2D uId;
uniform highp sampler2D uDepth;
uniform highp sampler2D uNormal;
uniform highp sampler2D uAxis;
uniform highp sampler2D uLight;
uniform highp int uLit;  // 1 where uLight was drawn for this sample
uniform highp sampler2D uHistory;
uniform highp float uHistoryWeight;
uniform highp vec3 uBackground;
uniform highp int uBackLit;

layout(location = 0) out highp vec4 outColour;

// By how much more of the window rays found from a pixel than what they left had guessed, -1..1, on average over the times it was
// asked after (in the mean's alpha, which holds 0.5 for none): estimates go by that as it becomes known, so that rays have less to
// correct. The guess counts as one ask. A difference, since what shares a pixel does not see as much of the window: hair beside a
// body, lit by what both see on average, was up to an eighth too light.
float more = 0.0;

float windowGuess(float opening) {
  return smoothstep(0.0, 0.9, opening);
}

float windowReaches(float guess, float asks) {
  return guess + more * asks / (1.0 + asks);
}

void learnWindow(float reached, float guess, float asksBefore) {
  more = (asksBefore * more + reached - guess) / (asksBefore + 1.0);
}

// What of a pixel the buffer holds.
struct Seen {
  int kind;
  int index;
  float level;
  float depth;
  vec3 at;
  vec3 normal;
  vec3 axis;
  float swell;
};

#ifdef HAIR
#include "underHair.glsl"
#endif
#ifndef SHADES_HAIR
#include "shadeBody.glsl"
#endif
#if defined(HAIR) && !defined(HAIR_APART)
#include "shadeHair.glsl"
#endif

vec3 shadePixel(Ray ray) {
  ivec2 texel = ivec2(gl_FragCoord.xy);
  Seen s;
  // All at once, so that the fetches overlap.
  vec4 id = texelFetch(uId, texel, 0);
  vec4 depthBytes = texelFetch(uDepth, texel, 0);
  vec4 normalBytes = texelFetch(uNormal, texel, 0);
  vec4 axisBytes = texelFetch(uAxis, texel, 0);
  decodeId(id, s.kind, s.index);
  if (uBackLit != 0) return s.kind == KIND_NONE ? vec3(1.0) : vec3(0.0);
  if (s.kind == KIND_NONE) return uBackground;
  s.level = decodeLevel(id);
  s.depth = decodeDepth(depthBytes);
  s.at = ray.origin + s.depth * ray.direction;
  s.normal = seenSide(decodeNormal(normalBytes), ray.direction);
  s.axis = decodeAxis(axisBytes, s.swell);
#if defined(SHADES_HAIR)
  return shadeHair(s, -ray.direction);
#elif defined(HAIR) && !defined(HAIR_APART)
  return isDrawnHair(s.kind, s.index, s.swell) ? shadeHair(s, -ray.direction) : shadeBody(s, ray);
#else
  return shadeBody(s, ray);
#endif
}

#ifdef HAIR
bool showsHairHere() {
  ivec2 texel = ivec2(gl_FragCoord.xy);
  int kind;
  int index;
  decodeId(texelFetch(uId, texel, 0), kind, index);
  float swell;
  decodeAxis(texelFetch(uAxis, texel, 0), swell);
  return kind != KIND_NONE && isDrawnHair(kind, index, swell);
}
#endif

void main() {
#if defined(SHADES_HAIR)
  if (!showsHairHere()) discard;
#elif defined(HAIR_APART)
  if (showsHairHere()) discard;
#endif
  vec4 history = vec4(0.0);
  if (uHistoryWeight > 0.0) {
    history = texelFetch(uHistory, ivec2(gl_FragCoord.xy), 0);
    more = 2.0 * history.a - 1.0;
  }
  Ray ray = viewRay(gl_FragCoord.xy);
  FarPlace far = farPlace(ray);
  vec3 colour = vec3(0.0);
  if (far.share < 1.0) colour = (1.0 - far.share) * shadePixel(ray);
  if (far.share > 0.0) colour += far.share * farColour(far);
  outColour = vec4(mix(colour, history.rgb, uHistoryWeight), 0.5 + 0.5 * more);
}
