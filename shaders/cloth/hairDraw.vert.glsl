// Hair as the near picture draws it: a band along each curve, wide enough for what its straight pieces stray from it.
// What a pixel's own line of sight meets within it is for hairDraw.frag.glsl to say. Where the hairs are hairPlace.frag.glsl has told.
#include "../common/hash.glsl"
#define EYE_ONLY
#include "view.glsl"
#include "hairCurve.glsl"
#include "hairRead.glsl"
#include "hairBeside.glsl"
#include "hairDepth.glsl"

uniform highp vec2 uBufferSize;        // pixels

in vec3 position;  // share of the curve, side of it, which of a batch

out vec3 vAxis;              // a place on the curve
out vec3 vWay;               // and how it changes with the share
out float vShare;
flat out vec4 vShape;        // radius mm, taper, by how much it is widened, 1 for a loop
flat out vec2 vLevel;        // lowest and highest hereabouts, mm
flat out ivec2 vWhose;       // kind, index

const float STRAYS_PX = 0.3;
// Of its length, so far a hair's depth goes on past its ends in its band.
const float BEYOND_ENDS = 0.5;

void main() {
  // Nothing: beyond the picture.
  gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
  vAxis = vec3(0.0);
  vWay = vec3(0.0);
  vShare = 0.0;
  vShape = vec4(0.0);
  vLevel = vec2(0.0);
  vWhose = uHairWhose.xx;
  int stride = uHairWhose.z;
  int number = gl_InstanceID * HAIRS_A_BATCH + int(position.z);
  PlacedHair h = placedHair(tableAt(number));
  float radius = h.radius;
  if (radius <= 0.0) return;
  int hairTexel = uHairWhose.y * MATERIAL_TEXELS + HAIR_TEXEL;
  float taper = texelFetch(uMaterialTable, tableAt(hairTexel + 2), 0).z;
  bool isLoop = texelFetch(uMaterialTable, tableAt(hairTexel + 1), 0).w == FORM_LOOP;
  float share = position.x;
  vAxis = h.root + share * h.chord + 4.0 * share * (1.0 - share) * h.bow;
  vWay = h.chord + 4.0 * (1.0 - 2.0 * share) * h.bow;
  if (h.straight) besideThread(h, vAxis, vWay);
  vShare = share;
  vShape = vec4(radius, taper, float(stride), isLoop ? 1.0 : 0.0);
  vWhose = ivec2(uHairWhose.x, h.index);
  vLevel = h.level;

  vec3 seen = vAxis - uEye;
  float ahead = dot(seen, uForward);
  bool perspective = uTanPerPixel > 0.0;
  if (perspective && ahead < 1e-2) return;
  float pixelMm = uMmPerPixel + uTanPerPixel * ahead;
  vec2 pixel = vec2(dot(seen, uRight), dot(seen, uUp)) / pixelMm;
  vec2 run = vec2(dot(vWay, uRight), dot(vWay, uUp)) - uTanPerPixel * dot(vWay, uForward) * pixel;
  float runs = length(run);
  run = runs > 1e-6 ? run / runs : vec2(1.0, 0.0);
  float wide = radius * float(stride) / pixelMm + STRAYS_PX;
  float past = share == 0.0 ? -1.0 : share == 1.0 ? 1.0 : 0.0;
  pixel += wide * (position.y * vec2(-run.y, run.x) + past * run);
  float w = perspective ? ahead : 1.0;
  // A round hair's front lies before its middle, on average over its width by a quarter of pi of the radius.
  // Past its ends its depth goes on as it does there: told as the ends' own, roots lay before their core and tips behind one another.
  float goesOn = stride > 1 ? 0.0 : past * min(wide * pixelMm / max(runs, 1e-6), BEYOND_ENDS);
  float front = ahead + goesOn * dot(vWay, uForward) - 0.7854 * radius * (1.0 - taper * share);
  gl_Position = vec4(2.0 * drawnHairPlace(pixel) / uBufferSize - 1.0, 2.0 * bufferDepth(front) - 1.0, 1.0) * w;
}
