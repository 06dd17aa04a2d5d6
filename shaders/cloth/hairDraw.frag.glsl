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
  Ray ray = viewRay(gl_FragCoord.xy);
  vec3 d = ray.direction;
  vec3 gap = ray.origin - vAxis;
  float along = dot(d, vWay);
  float away = (dot(vWay, gap) - along * dot(d, gap)) / max(dot(vWay, vWay) - along * along, 1e-12);
  float share = clamp(vShare + away, 0.0, 1.0);
  // Ends are round: on average they go on by a quarter of pi of the radius, which widening leaves as it is.
  float beyond = abs(vShare + away - share) * length(vWay);
  if (beyond > 0.7854 * vShape.x * (1.0 - vShape.y * share)) discard;
  gap -= away * vWay;
  float nearest = -dot(d, gap);
  gap += nearest * d;
  float radius = vShape.x * (1.0 - vShape.y * share);
  float thick = radius * vShape.z;
  float off2 = dot(gap, gap) / (thick * thick);
  if (off2 >= 1.0) discard;
  float deep = sqrt(1.0 - off2);
  float t = nearest - deep * radius;
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
