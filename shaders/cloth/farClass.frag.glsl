// What a kind of crossing (across) shows towards a node of the view grid (up): the mean of its lines of sight, each by the
// area of the cell that it goes through. Alpha is the mean area.
#include "../common/loops.glsl"
#include "kindRay.glsl"

uniform highp sampler2D uPicture;

layout(location = 0) out highp vec4 outColour;

void main() {
  int kind = int(gl_FragCoord.x);
  int first = (int(gl_FragCoord.y) * uKinds.y + kind) * uKinds.x;
  vec4 sum = vec4(0.0);
  for (int k = 0; k < LOOP(MOST_KIND_RAYS); k++) {
    if (k >= uKinds.x) break;
    int pixel = first + k;
    vec3 seen = texelFetch(uPicture, ivec2(pixel % uKinds.w, pixel / uKinds.w), 0).rgb;
    int texel = kind * PLACES + (uKindsFrom + k) % PLACES;
    vec4 cell = texelFetch(uFarCloth, ivec2(texel & (TABLE_WIDTH - 1), texel >> TABLE_SHIFT), 0);
    vec2 side = cell.zw - cell.xy;
    sum += vec4(seen, 1.0) * (side.x * side.y);
  }
  outColour = vec4(sum.rgb / max(1e-12, sum.a), sum.a / float(uKinds.x));
}
