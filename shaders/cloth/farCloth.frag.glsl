// The cloth laid flat, a texel a crossing, a part or a block of them: what each shows towards the eye. Weighted by the area that a
// crossing takes (alpha), so that means over crossings are means over the cloth.
#include "buffers.glsl"

uniform highp usampler2D uFarClassOf;
uniform highp sampler2D uFarClassShade;
uniform highp ivec2 uFarPeriod;  // ends, lines
uniform highp ivec4 uFarWindow;  // first end and line, crossings a texel on a side, nodes of the view grid on a side
uniform highp vec2 uFarSize;     // texels of the flat picture
uniform highp ivec2 uFarParts;   // texels of a crossing, across and up, where a block is one

layout(location = 0) out highp vec4 outColour;

// Crossings looked at on a block's side; larger blocks are looked at in as many places, evenly.
const int BLOCK_LOOKS = 4;

void main() {
  int block = uFarWindow.z;
  int looks = min(block, BLOCK_LOOKS);
  int grid = uFarWindow.w;
  ivec2 texel = ivec2(gl_FragCoord.xy);
  ivec2 corner = uFarWindow.xy + texel / uFarParts * block;
  int part = (texel.y % uFarParts.y) * uFarParts.x + texel.x % uFarParts.x;
  vec2 node = gl_FragCoord.xy / uFarSize * float(grid - 1);
  ivec2 lo = min(ivec2(node), max(ivec2(0), ivec2(grid - 2)));
  ivec2 hi = min(lo + 1, ivec2(grid - 1));
  vec2 between = node - vec2(lo);
  vec4 sum = vec4(0.0);
  for (int y = 0; y < LOOP(BLOCK_LOOKS); y++) {
    if (y >= looks) break;
    for (int x = 0; x < LOOP(BLOCK_LOOKS); x++) {
      if (x >= looks) break;
      ivec2 crossing = clamp(corner + ivec2(x, y) * block / looks, ivec2(0), uCount.xz - 1);
      ivec2 within = crossing - uFarPeriod * (crossing / uFarPeriod);
      int index = int(texelFetch(uFarClassOf, within, 0).r) * uFarParts.x * uFarParts.y + part;
      vec4 shown = mix(
        mix(texelFetch(uFarClassShade, ivec2(index, lo.y * grid + lo.x), 0),
            texelFetch(uFarClassShade, ivec2(index, lo.y * grid + hi.x), 0), between.x),
        mix(texelFetch(uFarClassShade, ivec2(index, hi.y * grid + lo.x), 0),
            texelFetch(uFarClassShade, ivec2(index, hi.y * grid + hi.x), 0), between.x),
        between.y
      );
      sum += vec4(shown.rgb * shown.a, shown.a);
    }
  }
  outColour = sum / float(looks * looks);
}
