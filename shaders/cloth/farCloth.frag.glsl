// The cloth laid flat, a texel a crossing or a block of them: what each shows towards the eye, over the background where
// it is open. Weighted by the area that a crossing takes (alpha), so that means over crossings are means over the cloth.
#include "buffers.glsl"
#include "farTables.glsl"

uniform highp sampler2D uFarClassShade;
uniform highp vec3 uBackground;
uniform highp int uBackLit;

layout(location = 0) out highp vec4 outColour;

// Crossings looked at on a block's side; larger blocks are looked at in as many places, evenly.
const int BLOCK_LOOKS = 4;

void main() {
  int block = uFarWindow.z;
  int looks = min(block, BLOCK_LOOKS);
  int grid = uFarWindow.w;
  ivec2 corner = uFarWindow.xy + ivec2(gl_FragCoord.xy) * block;
  vec2 node = gl_FragCoord.xy / uFarSize * float(grid - 1);
  ivec2 lo = min(ivec2(node), max(ivec2(0), ivec2(grid - 2)));
  ivec2 hi = min(lo + 1, ivec2(grid - 1));
  vec2 part = node - vec2(lo);
  vec4 sum = vec4(0.0);
  for (int y = 0; y < LOOP(BLOCK_LOOKS); y++) {
    if (y >= looks) break;
    for (int x = 0; x < LOOP(BLOCK_LOOKS); x++) {
      if (x >= looks) break;
      ivec2 crossing = clamp(corner + ivec2(x, y) * block / looks, ivec2(0), uCount.xz - 1);
      ivec2 within = crossing - uFarPeriod * (crossing / uFarPeriod);
      int index = int(texelFetch(uFarClassOf, within, 0).r);
      vec4 shown = mix(
        mix(texelFetch(uFarClassShade, ivec2(index, lo.y * grid + lo.x), 0),
            texelFetch(uFarClassShade, ivec2(index, lo.y * grid + hi.x), 0), part.x),
        mix(texelFetch(uFarClassShade, ivec2(index, hi.y * grid + lo.x), 0),
            texelFetch(uFarClassShade, ivec2(index, hi.y * grid + hi.x), 0), part.x),
        part.y
      );
      vec3 colour = uBackLit != 0 ? vec3(1.0 - shown.a) : shown.rgb + (1.0 - shown.a) * uBackground;
      float area = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 1), 0).w;
      sum += vec4(colour * area, area);
    }
  }
  outColour = sum / float(looks * looks);
}
