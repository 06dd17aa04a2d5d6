// How far the paths of a block of pixels have come, in bytes: pixels that still want samples (255 for more), and the mean
// number of samples that the others and they have.
uniform highp usampler2D uPathSum;
uniform highp ivec2 uTileSize;
uniform highp int uSurveyBlock;  // pixels on a block's side
uniform highp int uSamplesWanted;

layout(location = 0) out highp vec4 outColour;

void main() {
  ivec2 corner = ivec2(gl_FragCoord.xy) * uSurveyBlock;
  ivec2 end = min(corner + uSurveyBlock, uTileSize);
  uint wanting = 0u;
  uint taken = 0u;
  for (int y = corner.y; y < end.y; y++) {
    for (int x = corner.x; x < end.x; x++) {
      uint samples = texelFetch(uPathSum, ivec2(x, y), 0).w;
      wanting += samples < uint(uSamplesWanted) ? 1u : 0u;
      taken += samples;
    }
  }
  uint pixels = uint(max(1, (end.x - corner.x) * (end.y - corner.y)));
  uint mean = end.x > corner.x && end.y > corner.y ? taken / pixels : 0u;
  outColour = vec4(float(min(wanting, 255u)), float(mean & 255u), float((mean >> 8u) & 255u), 255.0) / 255.0;
}
