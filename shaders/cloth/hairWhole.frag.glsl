// Hair that hardly bends in the picture buffer, where this pixel's line of sight meets it.
#include "../common/encode.glsl"
#define EYE_ONLY
#include "view.glsl"

uniform highp ivec4 uHairWhose;  // kind of thread, material, one hair for so many, cells in all
uniform highp float uHairTaper;

in float vShare;
flat in vec4 vRoot;
flat in vec3 vChord;
flat in vec3 vBow;
flat in vec2 vLevel;
flat in int vIndex;

layout(location = 0) out highp vec4 outId;
layout(location = 1) out highp vec4 outDepth;
layout(location = 2) out highp vec4 outNormal;
layout(location = 3) out highp vec4 outAxis;

void main() {
  Ray ray = viewRay(gl_FragCoord.xy);
  vec3 d = ray.direction;
  // From near the place on: one step along the curve is enough.
  float share = clamp(vShare, 0.0, 1.0);
  vec3 way = vChord + 4.0 * (1.0 - 2.0 * share) * vBow;
  vec3 gap = ray.origin - vRoot.xyz - share * (vChord + 4.0 * (1.0 - share) * vBow);
  float along = dot(d, way);
  float back = dot(d, gap);
  float way2 = dot(way, way);
  // Of the way along the curve, squared, what the eye sees of it: none where it looks along it.
  float seen2 = max(way2 - along * along, 1e-12);
  float away = (dot(way, gap) - along * back) / seen2;
  gap -= away * way;
  float nearest = away * along - back;
  gap += nearest * d;
  float on = clamp(share + away, 0.0, 1.0);
  float radius = vRoot.w * (1.0 - uHairTaper * on);
  float thick = radius * float(uHairWhose.z);
  float beyond = share + away - on;
  // Ends are round, whichever way the eye looks at them. Of a hair that stands in for others, whose width is not its own, they go on by
  // what they do on average, a quarter of pi of the radius.
  bool standsIn = uHairWhose.z > 1;
  float past2 = beyond * beyond / (radius * radius);
  float off2 = dot(gap, gap) / (thick * thick) + (standsIn ? 0.0 : past2 * seen2);
  if (off2 >= 1.0 || (standsIn && past2 * way2 > 0.6169)) discard;
  float deep = sqrt(1.0 - off2);
  float t = nearest - beyond * along - deep * radius;
  vec3 axis = way * inversesqrt(way2);
  vec3 square = d - dot(d, axis) * axis;
  vec3 normal = gap / thick - square * (deep * inversesqrt(max(dot(square, square), 1e-12)));
  float height = ray.origin.z + t * d.z;
  outId = encodeId(uHairWhose.x, vIndex, (2.0 * height - vLevel.x - vLevel.y) / max(vLevel.y - vLevel.x, 2e-4));
  outDepth = encodeDepth(t);
  outNormal = encodeNormal(normalize(normal));
  outAxis = encodeAxis(axis, hairSwell(on));
}
