// Hair that hardly bends as the near picture draws it: one rectangle each, as wide as the hair and straight along the curve's mean.
// What of the hair a pixel shows is for hairWhole.frag.glsl to say.
#include "../common/hash.glsl"
#define EYE_ONLY
#include "view.glsl"
#include "hairCurve.glsl"
#include "hairRead.glsl"
#include "hairDepth.glsl"

uniform highp ivec4 uHairWhose;        // kind of thread, material, one hair for so many, hairs in all
uniform highp vec2 uBufferSize;        // pixels
uniform highp float uHairTaper;

in vec3 position;  // end of the hair, side of it, which of a batch

out float vShare;            // along the chord; beyond 0 and 1 before and after it
out float vAcross;           // of half the hair's width, -1..1
flat out vec4 vRoot;         // and radius, mm
flat out vec3 vChord;
flat out vec3 vBow;          // from the chord, in its middle
flat out vec2 vLevel;        // lowest and highest hereabouts, mm
flat out int vIndex;         // of the thread

// Of its length, so far a hair's depth goes on past its ends in its rectangle: further, what is seen end-on would stand out.
const float BEYOND_ENDS = 1.0;

// Place in the picture, pixels from its middle, and how far ahead, mm.
vec3 pictured(vec3 at) {
  vec3 seen = at - uEye;
  float ahead = dot(seen, uForward);
  return vec3(vec2(dot(seen, uRight), dot(seen, uUp)) / (uMmPerPixel + uTanPerPixel * ahead), ahead);
}

// How far share length + 4 share (1 - share) bow goes, of a share from 0 to 1.
float furthest(float length, float bow) {
  return 4.0 * bow > length ? (length + 4.0 * bow) * (length + 4.0 * bow) / (16.0 * bow) : length;
}

void main() {
  // Nothing: beyond the picture.
  gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
  vShare = 0.0;
  vAcross = position.y;
  vRoot = vec4(0.0);
  vChord = vec3(0.0);
  vBow = vec3(0.0);
  vLevel = vec2(0.0);
  vIndex = 0;
  PlacedHair h = placedHair(tableAt(gl_InstanceID * HAIRS_A_BATCH + int(position.z)));
  if (h.radius <= 0.0) return;
  vRoot = vec4(h.root, h.radius);
  vChord = h.chord;
  vBow = h.bow;
  vLevel = h.level;
  vIndex = h.index;

  vec3 first = pictured(h.root);
  vec3 last = pictured(h.root + h.chord);
  bool perspective = uTanPerPixel > 0.0;
  if (perspective && min(first.z, last.z) < 1e-2) return;
  vec2 chord = last.xy - first.xy;
  vec2 bow = pictured(h.root + 0.5 * h.chord + h.bow).xy - first.xy - 0.5 * chord;
  float length2 = dot(chord, chord);
  vec2 run = length2 > 1e-12 ? chord * inversesqrt(length2) : vec2(1.0, 0.0);
  vec2 square = vec2(-run.y, run.x);
  float length = sqrt(length2);
  float bent = dot(bow, run);
  float aside = dot(bow, square);
  float thick = h.radius * (1.0 - uHairTaper * position.x);
  float pixelMm = uMmPerPixel + uTanPerPixel * min(first.z, last.z);
  float wide = thick * float(uHairWhose.z) / pixelMm;
  // Round ends go on by a quarter of pi of the radius on average, which widening leaves; but seen end-on the width counts.
  float ends = 0.7854 * mix(wide, thick / pixelMm, smoothstep(0.0, 1.0, length - 2.0 * wide));
  float along = position.x == 0.0 ? length - furthest(length, -bent) - ends : furthest(length, bent) + ends;
  vShare = clamp(along / max(length, 1e-6), -BEYOND_ENDS, 1.0 + BEYOND_ENDS);
  vec2 pixel = first.xy + along * run + (2.0 / 3.0 * aside + position.y * wide) * square;
  float ahead = mix(first.z, last.z, vShare);
  if (perspective && ahead < 1e-2) return;
  float w = perspective ? ahead : 1.0;
  // The curve lies so far before or behind its chord on average; and a round hair's front so far before its middle.
  float front = ahead + 2.0 / 3.0 * dot(h.bow, uForward) - 0.7854 * thick;
  gl_Position = vec4(2.0 * drawnHairPlace(pixel) / uBufferSize - 1.0, 2.0 * bufferDepth(front) - 1.0, 1.0) * w;
}
