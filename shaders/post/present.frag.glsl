// Linear light to sRGB, once, at the end (IEC 61966-2-1). Beyond the picture lies the bench.
uniform highp sampler2D uPicture;
uniform highp vec2 uTargetSize;
uniform highp vec2 uTargetOffset;
uniform highp int uLightnessOnly;
uniform highp vec3 uBackground;

layout(location = 0) out highp vec4 outColour;

vec3 toSrgb(vec3 c) {
  c = clamp(c, 0.0, 1.0);
  vec3 low = 12.92 * c;
  vec3 high = 1.055 * pow(max(c, vec3(1e-6)), vec3(1.0 / 2.4)) - 0.055;
  return mix(low, high, step(vec3(0.0031308), c));
}

// Y of sRGB's primaries (IEC 61966-2-1). L* is a function of Y alone, so a grey of the same Y has the same L*.
const vec3 LUMINANCE = vec3(0.2126, 0.7152, 0.0722);

// A mean below nothing is noise, since rays' answers come in as differences (shadeBody.glsl); it, or one that is no number, is shown as
// what lies beside it.
vec3 lightAt(ivec2 at) {
  ivec2 top = textureSize(uPicture, 0) - 1;
  vec3 light = texelFetch(uPicture, clamp(at, ivec2(0), top), 0).rgb;
  if (all(greaterThanEqual(light, vec3(0.0)))) return light;
  vec3 sum = vec3(0.0);
  for (int k = 0; k < 4; k++) {
    ivec2 beside = at + (k < 2 ? ivec2(2 * k - 1, 0) : ivec2(0, 2 * k - 5));
    sum += max(vec3(0.0), texelFetch(uPicture, clamp(beside, ivec2(0), top), 0).rgb);
  }
  return 0.25 * sum;
}

void main() {
  vec2 size = vec2(textureSize(uPicture, 0));
  vec2 place = gl_FragCoord.xy - uTargetOffset;
  vec2 at = place / uTargetSize * size;
  vec3 colour;
  if (any(lessThan(at, vec2(0.0))) || any(greaterThan(at, size))) {
    colour = uBackground;
  } else if (size == uTargetSize && fract(uTargetOffset) == vec2(0.0)) {
    colour = lightAt(ivec2(place));
  } else {
    // Bilinear by hand: filtering of half floats is not everywhere.
    vec2 f = at - 0.5;
    ivec2 cell = ivec2(floor(f));
    f -= floor(f);
    vec3 a = lightAt(cell);
    vec3 b = lightAt(cell + ivec2(1, 0));
    vec3 c = lightAt(cell + ivec2(0, 1));
    vec3 d = lightAt(cell + ivec2(1, 1));
    colour = mix(mix(a, b, f.x), mix(c, d, f.x), f.y);
  }
  if (uLightnessOnly != 0) colour = vec3(dot(LUMINANCE, clamp(colour, 0.0, 1.0)));
  outColour = vec4(toSrgb(colour), 1.0);
}
