// Each pixel's mean: the sum of its paths over their number.
uniform highp usampler2D uPathSum;
uniform highp vec2 uTargetOffset;

layout(location = 0) out highp vec4 outColour;

void main() {
  uvec4 sum = texelFetch(uPathSum, ivec2(gl_FragCoord.xy - uTargetOffset), 0);
  outColour = vec4(uintBitsToFloat(sum.xyz) / float(max(1u, sum.w)), 1.0);
}
