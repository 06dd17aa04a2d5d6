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

void main() {
  vec2 size = vec2(textureSize(uPicture, 0));
  vec2 place = gl_FragCoord.xy - uTargetOffset;
  vec2 at = place / uTargetSize * size;
  vec3 colour;
  if (any(lessThan(at, vec2(0.0))) || any(greaterThan(at, size))) {
    colour = uBackground;
  } else if (size == uTargetSize && fract(uTargetOffset) == vec2(0.0)) {
    colour = texelFetch(uPicture, ivec2(place), 0).rgb;
  } else {
    // Bilinear by hand: filtering of half floats is not everywhere.
    vec2 f = at - 0.5;
    ivec2 cell = ivec2(floor(f));
    ivec2 top = ivec2(size) - 1;
    f -= floor(f);
    vec3 a = texelFetch(uPicture, clamp(cell, ivec2(0), top), 0).rgb;
    vec3 b = texelFetch(uPicture, clamp(cell + ivec2(1, 0), ivec2(0), top), 0).rgb;
    vec3 c = texelFetch(uPicture, clamp(cell + ivec2(0, 1), ivec2(0), top), 0).rgb;
    vec3 d = texelFetch(uPicture, clamp(cell + ivec2(1, 1), ivec2(0), top), 0).rgb;
    colour = mix(mix(a, b, f.x), mix(c, d, f.x), f.y);
  }
  if (uLightnessOnly != 0) colour = vec3(dot(LUMINANCE, clamp(colour, 0.0, 1.0)));
  outColour = vec4(toSrgb(colour), 1.0);
}
