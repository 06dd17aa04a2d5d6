// Which way the threads face that the walk found, and where they run: by itself where one program for both would be too large.
#include "../common/encode.glsl"
#include "view.glsl"
#include "surface.glsl"

uniform highp sampler2D uId;
uniform highp sampler2D uDepth;
uniform highp sampler2D uCell;

layout(location = 0) out highp vec4 outNormal;
layout(location = 1) out highp vec4 outAxis;

void main() {
  ivec2 texel = ivec2(gl_FragCoord.xy);
  // All at once, so that the fetches overlap.
  vec4 id = texelFetch(uId, texel, 0);
  vec4 depthBytes = texelFetch(uDepth, texel, 0);
  vec4 cellBytes = texelFetch(uCell, texel, 0);
  int kind;
  int index;
  decodeId(id, kind, index);
  outNormal = vec4(0.0);
  outAxis = vec4(0.0);
  if (kind == KIND_NONE) return;
  int none;
  int cell;
  decodeId(cellBytes, none, cell);
  Ray ray = viewRay(gl_FragCoord.xy);
  Surface surface = surfaceAt(kind, index, cell, ray.origin + decodeDepth(depthBytes) * ray.direction);
  outNormal = encodeNormal(surface.normal);
  outAxis = encodeAxis(surface.axis, surface.swell);
}
