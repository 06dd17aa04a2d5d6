// What a part of a kind of crossing (across) shows towards a node of the view grid (up): the mean of its lines of sight, each
// by the area of what it goes through. Alpha is the mean area.
#include "kindRay.glsl"

uniform highp sampler2D uPicture;

layout(location = 0) out highp vec4 outColour;

void main() {
  int part = int(gl_FragCoord.x);
  int node = int(gl_FragCoord.y);
  int first = (node * uKinds.y + part) * uKinds.x;
  vec4 sum = vec4(0.0);
  for (int k = 0; k < LOOP(MOST_KIND_RAYS); k++) {
    if (k >= uKinds.x) break;
    int pixel = first + k;
    vec3 seen = texelFetch(uPicture, ivec2(pixel % uKinds.w, pixel / uKinds.w), 0).rgb;
    // One that came to no number would take all of its kind with it, and what lies beside that.
    if (any(isnan(seen)) || any(isinf(seen))) continue;
    vec4 cell = kindCell(part, kindRaysFrom(node) + k);
    vec2 side = cell.zw - cell.xy;
    sum += vec4(seen, 1.0) * (side.x * side.y);
  }
  outColour = vec4(sum.rgb / max(1e-12, sum.a), sum.a * float(uFarParts.x * uFarParts.y) / float(uKinds.x));
}
