#include "buffers.glsl"
#include "view.glsl"

// The cloth where threads are finer than a pixel: a picture of it laid flat, one texel a crossing, a part or a block of them, lit
// as it is now, and looked up with the pixel's own footprint. Built by farClass.frag.glsl and farCloth.frag.glsl.
uniform highp int uFarOn;
uniform highp ivec4 uFarWindow;  // first end and line, crossings a texel on a side, nodes of the view grid on a side
uniform highp vec2 uFarSize;     // texels
// From where on the flat picture begins to stand in, and alone does: footprint over the distance between threads.
uniform highp vec2 uFarRange;

// Threads on either side over which their distance is averaged.
const int PITCH_SPAN = 4;
// Texels that the lookup's footprint spans for each crossing that the pixel's does: above 1, so that a fine check does not
// beat with the pixels.
const float FAR_SOFT = 1.5;

struct FarPlace {
  float share;  // of the far picture: 0 near, 1 alone
  vec2 at;      // place among ends and lines
  vec2 across;  // change of it a pixel to the right, and up
  vec2 up;
};

// Place among the threads of a family, in threads, and their mean distance about there.
vec2 threadPlace(bool isEnds, float at) {
  int count = isEnds ? uCount.x : uCount.z;
  int cell = clamp(cellAt(isEnds, at), 0, max(0, count - 2));
  int lo = max(0, cell - PITCH_SPAN + 1);
  int hi = min(count - 1, cell + PITCH_SPAN);
  float from = isEnds ? endX(cell) : lineY(cell);
  float next = isEnds ? endX(min(cell + 1, count - 1)) : lineY(min(cell + 1, count - 1));
  float pitch = isEnds ? endX(hi) - endX(lo) : lineY(hi) - lineY(lo);
  pitch = max(1e-6, pitch / float(max(1, hi - lo)));
  float own = next > from ? next - from : pitch;
  return vec2(float(cell) + (at - from) / own, pitch);
}

FarPlace farPlace(Ray ray) {
  FarPlace r = FarPlace(0.0, vec2(0.0), vec2(0.0), vec2(0.0));
  if (uFarOn == 0 || abs(ray.direction.z) < 1e-3) return r;
  float middle = 0.5 * (uBoundsMin.z + uBoundsMax.z);
  float t = (middle - ray.origin.z) / ray.direction.z;
  if (t <= uRayStart) return r;
  float pixelMm = pixelMmAt(t);
  vec2 lean = ray.direction.xy / ray.direction.z;
  vec2 acrossMm = pixelMm * (uRight.xy - uRight.z * lean);
  vec2 upMm = pixelMm * (uUp.xy - uUp.z * lean);
  vec2 at = ray.origin.xy + t * ray.direction.xy;
  vec2 ends = vec2(0.0);
  vec2 lines = vec2(0.0);
  for (int family = 0; family < LOOP(2); family++) {
    ends = lines;
    lines = threadPlace(family == 0, family == 0 ? at.x : at.y);
  }
  vec2 perPitch = 1.0 / vec2(ends.y, lines.y);
  r.across = acrossMm * perPitch;
  r.up = upMm * perPitch;
  vec2 footprint = sqrt(r.across * r.across + r.up * r.up);
  r.at = vec2(ends.x, lines.x);
  // Beyond the outermost threads there are only their ends and turns, which are walked.
  bool within = all(greaterThan(r.at, vec2(-0.5))) && all(lessThan(r.at, vec2(uCount.xz) - 0.5));
  if (within) r.share = smoothstep(uFarRange.x, uFarRange.y, max(footprint.x, footprint.y));
  return r;
}

vec3 farColour(FarPlace place) {
  vec2 perTexel = vec2(uFarParts) / (float(uFarWindow.z) * uFarSize);
  vec2 uv = (place.at + 0.5 - vec2(uFarWindow.xy)) * perTexel;
  vec4 texel = textureGrad(uFarCloth, uv, FAR_SOFT * place.across * perTexel, FAR_SOFT * place.up * perTexel);
  return texel.rgb / max(texel.a, 1e-4);
}
