#include "../common/hash.glsl"
#include "view.glsl"

// A north-light window and the room around it, in the cloth's own axes. Irradiances over pi are scaled so that a white
// card facing the window receives 1.
uniform highp vec3 uKeyTowards;
uniform highp float uKeyCosHalfAngle;
uniform highp float uKeyHalfAngle;  // rad
uniform highp float uKeyLight;
uniform highp float uSkyLight;
uniform highp vec3 uSkyAxis;
uniform highp int uSample;

// Radiance of the room in a direction, before uSkyLight: brighter from the window's side and above.
const float SKY_MEAN = 0.65;
const float SKY_SWING = 0.35;

float skyRadiance(vec3 direction) {
  return SKY_MEAN + SKY_SWING * dot(direction, uSkyAxis);
}

// Cosine-weighted mean of skyRadiance over the half space about n (2/3 is the cosine-weighted mean of the cosine).
float skyIrradiance(vec3 n) {
  return SKY_MEAN + SKY_SWING * (2.0 / 3.0) * dot(n, uSkyAxis);
}

// Orthonormal basis (Duff et al. 2017, "Building an orthonormal basis, revisited", JCGT 6(1)).
mat3 basisAbout(vec3 n) {
  float s = n.z >= 0.0 ? 1.0 : -1.0;
  float a = -1.0 / (s + n.z);
  float b = n.x * n.y * a;
  return mat3(vec3(1.0 + s * n.x * n.x * a, s * b, -s * n.x), vec3(b, s + n.y * n.y * a, -n.y), n);
}

// Which light a pixel asks after in this sample: the window, the room, or none, in blocks of 16 pixels, so that
// neighbours walk alike. In four samples each light is asked once.
const int ASKS_NOTHING = 0;
const int ASKS_WINDOW = 1;
const int ASKS_ROOM = 2;
const int ASK_EVERY = 4;

// A pixel's place in the turns, 0..ASK_EVERY - 1.
int askOffset(ivec2 pixel) {
  return ((pixel.x >> 4) + 2 * (pixel.y >> 4)) & (ASK_EVERY - 1);
}

// How many of the samples before this one asked after the window.
int windowAsksBefore(ivec2 pixel) {
  int offset = askOffset(pixel);
  return (uSample + offset + ASK_EVERY - 1) / ASK_EVERY - (offset + ASK_EVERY - 1) / ASK_EVERY;
}

int lightAsked(ivec2 pixel) {
  int turn = (uSample + askOffset(pixel)) & (ASK_EVERY - 1);
  return turn == 0 ? ASKS_WINDOW : turn == 2 ? ASKS_ROOM : ASKS_NOTHING;
}

// What the light's own buffer holds: not asked, open, or LIGHT_MATERIAL + the material of what stands in the way.
const int LIGHT_NOT_ASKED = 0;
const int LIGHT_OPEN = 1;
const int LIGHT_MATERIAL = 2;

// How far off a thread its ray to the light begins.
const float START_OFF_MM = 4e-3;

// How far a pixel's own directions stray from its neighbours': about the distance between the directions of 32 samples,
// so that no gaps show between them and rays still run together.
const float STRAY = 0.2;

// Radiance of the room that a lobe returns whose light has a mean direction (not of unit length); exact, since skyRadiance
// is linear.
float skyInLobe(vec3 mean) {
  return SKY_MEAN + SKY_SWING * dot(mean, uSkyAxis);
}

// The secondary ray's direction: a golden-ratio sequence over samples (R2), shifted by a hash of the pixel. Spread in the
// room's axes, so that a picture does not depend on how the cloth's own axes lie.
vec2 lightSequence(ivec2 pixel) {
#ifndef EYE_ONLY
  if (drawsKinds()) return kindSequence(kindRayNumber(pixel)).zw;
#endif
  vec3 shift = STRAY * unitFromHash(hash3(uvec3(uint(pixel.x), uint(pixel.y), 0x9e3779b9u)));
  return fract(shift.xy + float(uSample / ASK_EVERY) * vec2(0.7548776662466927, 0.5698402909980532));
}

// u: of lightSequence, here and below.
vec3 lightDirection(vec2 u, vec3 normal, int asked) {
  float turn = 6.283185307179586 * u.y;
  bool window = asked == ASKS_WINDOW;
  // Uniform over the window's cap, cosine-weighted over the room.
  float cosine = window ? mix(1.0, uKeyCosHalfAngle, u.x) : sqrt(1.0 - u.x);
  float sine = sqrt(max(0.0, 1.0 - cosine * cosine));
  mat3 clothFromRoom = mat3(uRight, uUp, -uForward);
  vec3 pole = (window ? uKeyTowards : normal) * clothFromRoom;
  return clothFromRoom * (basisAbout(pole) * vec3(sine * cos(turn), sine * sin(turn), cosine));
}

// A film mirrors the room: a direction about the mirror's, as wide as its facets lean (GGX, Walter et al. 2007, eq. 35).
vec3 mirrorDirection(vec2 u, vec3 normal, vec3 towardsEye, float roughness) {
  float turn = 6.283185307179586 * u.y;
  float tan2 = roughness * roughness * u.x / max(1e-4, 1.0 - u.x);
  float cosine = inversesqrt(1.0 + tan2);
  float sine = sqrt(max(0.0, 1.0 - cosine * cosine));
  vec3 facet = basisAbout(normal) * vec3(sine * cos(turn), sine * sin(turn), cosine);
  return reflect(-towardsEye, facet);
}
