// Each pixel's mean: the sum of its paths over their number; the ground where none has ended yet.
uniform highp usampler2D uPathSum;
uniform highp vec2 uTargetOffset;
uniform vec3 uBackground;

layout(location = 0) out highp vec4 outColour;

void main() {
  uvec4 sum = texelFetch(uPathSum, ivec2(gl_FragCoord.xy - uTargetOffset), 0);
  outColour = vec4(sum.w == 0u ? uBackground : uintBitsToFloat(sum.xyz) / float(sum.w), 1.0);
}
