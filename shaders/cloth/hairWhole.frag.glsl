// Hair that hardly bends in the picture buffer: its rectangle is all hair, so no pixel is dropped and what lies behind is not drawn.
#include "../common/encode.glsl"
#define EYE_ONLY
#include "view.glsl"

uniform highp ivec4 uHairWhose;  // kind of thread, material, one hair for so many, cells in all
uniform highp float uHairTaper;

in float vShare;
in float vAcross;
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
  Ray ray = drawnHairRay(gl_FragCoord.xy);
  vec3 d = ray.direction;
  float share = clamp(vShare, 0.0, 1.0);
  vec3 axis = normalize(vChord + 4.0 * (1.0 - 2.0 * share) * vBow);
  vec3 middle = vRoot.xyz + share * (vChord + 4.0 * (1.0 - share) * vBow);
  float across = clamp(vAcross, -1.0, 1.0);
  float deep = sqrt(1.0 - across * across);
  // Where the line of sight passes the middle, and by how much the hair's own front lies before that.
  float t = dot(d, middle - ray.origin) - deep * vRoot.w * (1.0 - uHairTaper * share);
  vec3 square = d - dot(d, axis) * axis;
  float seen = inversesqrt(max(dot(square, square), 1e-12));
  vec3 normal = seen * (across * cross(axis, d) - deep * square);
  float height = ray.origin.z + t * d.z;
  outId = encodeId(uHairWhose.x, vIndex, (2.0 * height - vLevel.x - vLevel.y) / max(vLevel.y - vLevel.x, 2e-4));
  outDepth = encodeDepth(t);
  outNormal = encodeNormal(normalize(normal));
  outAxis = encodeAxis(axis, hairSwell(share));
}
