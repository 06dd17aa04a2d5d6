// One direction of a Gaussian, in linear light: how the eye spreads a picture. Clamped at the picture's edges.
uniform highp sampler2D uPicture;
uniform highp vec2 uBlurStep;   // (1, 0) or (0, 1)
uniform highp float uBlurSigma; // picture pixels

layout(location = 0) out highp vec4 outColour;

const int MOST_TAPS = 48;
// Beyond this many standard deviations a Gaussian holds 0.3 % of its weight.
const float REACH = 3.0;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  ivec2 top = textureSize(uPicture, 0) - 1;
  vec3 sum = texelFetch(uPicture, at, 0).rgb;
  float weights = 1.0;
  float reach = REACH * uBlurSigma;
  // Wide blurs skip pixels: up to 3/48 of the deviation apart, which no blurred picture can tell.
  float stride = max(1.0, reach / float(MOST_TAPS));
  for (int i = 1; i <= MOST_TAPS; i++) {
    float away = round(float(i) * stride);
    if (away > reach) break;
    float weight = exp(-0.5 * away * away / (uBlurSigma * uBlurSigma));
    ivec2 offset = ivec2(away * uBlurStep);
    sum += weight * texelFetch(uPicture, clamp(at + offset, ivec2(0), top), 0).rgb;
    sum += weight * texelFetch(uPicture, clamp(at - offset, ivec2(0), top), 0).rgb;
    weights += 2.0 * weight;
  }
  outColour = vec4(sum / weights, 1.0);
}
