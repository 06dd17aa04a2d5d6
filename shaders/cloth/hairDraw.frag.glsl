// A hair in the picture buffer, where this pixel's line of sight meets it. The curve's band runs straight between its points.
#include "../common/encode.glsl"
#define EYE_ONLY
#include "view.glsl"
#ifdef ROUND
#include "hairDepth.glsl"
#endif

in vec3 vAxis;
in vec3 vWay;
in float vShare;
flat in vec4 vShape;
flat in vec2 vLevel;
flat in ivec2 vWhose;

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;

void main() {
  Ray ray = drawnHairRay(gl_FragCoord.xy);
  vec3 d = ray.direction;
  vec3 gap = ray.origin - vAxis;
  float along = dot(d, vWay);
  // Of the way along the curve, squared, what the eye sees of it: none where it looks along it.
  float way2 = dot(vWay, vWay);
  float seen2 = max(way2 - along * along, 1e-12);
  float away = (dot(vWay, gap) - along * dot(d, gap)) / seen2;
  float share = clamp(vShare + away, 0.0, 1.0);
  float beyond = vShare + away - share;
  gap -= away * vWay;
  float nearest = -dot(d, gap);
  gap += nearest * d;
  float radius = vShape.x * (1.0 - vShape.y * share);
  float thick = radius * vShape.z;
  // Ends are round, whichever way the eye looks at them. Of a hair that stands in for others, whose width is not its own, they go on by
  // what they do on average, a quarter of pi of the radius.
  bool standsIn = vShape.z > 1.5;
  float past2 = beyond * beyond / (radius * radius);
  if (standsIn && past2 * way2 > 0.6169) discard;
  float off2 = dot(gap, gap) / (thick * thick) + (standsIn ? 0.0 : past2 * seen2);
  if (off2 >= 1.0) discard;
  float deep = sqrt(1.0 - off2);
  float t = nearest - beyond * along - deep * radius;
  vec3 axis = normalize(vWay);
  vec3 square = d - dot(d, axis) * axis;
  vec3 normal = gap / thick - square * (deep * inversesqrt(max(dot(square, square), 1e-12)));
#ifdef ROUND
  // Where a thick strand comes out of its yarn, its own roundness tells what of it is seen.
  gl_FragDepth = bufferDepth(dot(ray.origin + t * d - uEye, uForward));
#endif
  float height = (ray.origin + t * d).z;
  outId = encodeId(vWhose.x, vWhose.y, (2.0 * height - vLevel.x - vLevel.y) / max(vLevel.y - vLevel.x, 2e-4));
  outDepth = encodeDepth(t);
  outNormal = encodeNormal(normalize(normal));
  outAxis = encodeAxis(axis, hairSwell(vShape.w > 0.5 ? 4.0 * share * (1.0 - share) : share));
}
