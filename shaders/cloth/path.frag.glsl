// The reference picture: one path a pixel and sample, from the eye through the cloth until it leaves, averaged with the
// samples before. Light and surfaces are the real-time picture's; what it estimates between threads is computed here.
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "light.glsl"
#include "../yarn/plies.glsl"
#include "../scatter/bounce.glsl"

uniform highp sampler2D uHistory;
uniform highp float uHistoryWeight;
uniform highp vec3 uBackground;
uniform highp int uMostBounces;  // 1 .. MOST_BOUNCES; with 1, light comes from window and room only

layout(location = 0) out highp vec4 outColour;

const float PI = 3.141592653589793;
// A bounce takes two rays, to the window and onwards.
const int MOST_RAYS = 2 * MOST_BOUNCES + 1;
// A thread's surface is found to about 5e-5 mm.
const float LEAVE_MM = 1e-3;
// Paths are cut short by chance from this bounce on.
const int ROULETTE_FROM = 3;

// Seven numbers whose multiples fill a cube of as many sides evenly (M. Roberts 2018, the R sequence: powers of the root
// of x^8 = x + 1), times 2^32.
const uvec3 EVEN_A = uvec3(0xe95e1dd1u, 0xd4bc74e1u, 0xc1edbc5bu);
const uvec3 EVEN_B = uvec3(0xb0c8ac50u, 0xa127a31cu, 0u);
const uvec3 EVEN_C = uvec3(0x92e852c8u, 0x85eb75c3u, 0u);

uint drawn = 0u;
uvec2 pixelKey;

// Three numbers in 0..1; a path's first bounce takes them from the even sequence, shifted by a hash of the pixel.
vec3 randoms(bool first, uvec3 even) {
  uvec3 hash = hash3(uvec3(pixelKey, ((first ? 0u : uint(uSample)) << 8u) + drawn++));
  return unitFromHash(first ? hash + even * uint(uSample) : hash);
}

// Length of the way through the thread's section from a place on its surface, along d.
float chordAlong(ThreadPlace place, vec3 d) {
  vec3 level = normalize(vec3(-place.axis.y, place.axis.x, 0.0));
  vec2 at = vec2(cos(place.around), sin(place.around)) / place.halfSize;
  vec2 way = vec2(dot(d, level), dot(d, cross(place.axis, level))) / place.halfSize;
  return clamp(-2.0 * dot(at, way) / max(1e-6, dot(way, way)), 0.0, 4.0 * place.halfSize.x);
}

// Where a ray towards d begins: off this side, or off the far side of the thread.
vec3 leavingFrom(ThreadPlace place, vec3 at, vec3 geometric, vec3 d) {
  if (dot(d, geometric) >= 0.0) return at + LEAVE_MM * geometric;
  return at - (chordAlong(place, -geometric) + LEAVE_MM) * geometric;
}

vec3 tracePath() {
  float solidAngle = 2.0 * PI * (1.0 - uKeyCosHalfAngle);
  float windowPdf = 1.0 / solidAngle;
  bool window = uKeyLight > 0.0;
  Ray first = viewRay(gl_FragCoord.xy);
  vec3 o = first.origin;
  vec3 d = first.direction;
  float begin = uRayStart;
  float pixelMm = uMmPerPixel;
  vec3 radiance = vec3(0.0);
  vec3 carried = vec3(1.0);  // what reaches the eye of the light that comes along the path
  int bounces = 0;
  float pdf = 0.0;
  bool sheet = false;  // passed one since the last bounce: the ray to the window ended there
  bool asking = false;  // whether this ray asks after the window
  vec3 asked = vec3(0.0);
  vec3 nextO = vec3(0.0);
  vec3 nextD = vec3(0.0);

  for (int k = 0; k < LOOP(MOST_RAYS); k++) {
    Hit hit = walkCloth(o, d, begin, NEVER, -1);
    if (k == 0) pixelMm = pixelMmAt(hit.t);
    if (asking) {
      if (hit.kind == KIND_NONE) radiance += asked;
      asking = false;
      if (brightest(carried) <= 0.0) break;
      o = nextO;
      d = nextD;
      continue;
    }
    if (hit.kind == KIND_NONE) {
      if (bounces == 0) return carried * uBackground;
      radiance += carried * (uSkyLight * skyRadiance(d));
      // The window was asked after too: each way counts by its density (Veach & Guibas 1995, the balance heuristic).
      if (window && dot(d, uKeyTowards) > uKeyCosHalfAngle) {
        float weight = sheet ? 1.0 : pdf / (pdf + windowPdf);
        radiance += carried * (weight * PI * uKeyLight * windowPdf);
      }
      break;
    }
    if (bounces >= uMostBounces) break;

    vec3 at = o + hit.t * d;
    Surface surface = Surface(vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), 1.0);
    if (hit.kind == KIND_EXTRA) surface = surfaceOfExtra(hit.index, at);
    else surface = surfaceOfThread(hit.kind, hit.index, hit.cell, hit.along, at);
    ThreadPlace place = threadPlaceAt(hit.kind, hit.index, at, surface.normal, surface.axis, surface.swell);
    YarnSurface yarn = yarnSurface(place, pixelMm);
    vec3 geometric = towardsEye(surface.normal, d);
    vec3 n = towardsEye(yarn.normal, d);
    vec3 t = normalize(yarn.tangent - dot(yarn.tangent, n) * n);
    Bounce bounce = bounceAt(yarn.optics, yarn.reflectance, geometric, n, t, -d);

    vec3 toWindow = uKeyTowards;
    vec3 a = randoms(k == 0, EVEN_A);
    vec3 b = randoms(k == 0, EVEN_B);
    vec3 c = randoms(k == 0, EVEN_C);
    if (window) {
      float cosine = mix(1.0, uKeyCosHalfAngle, c.x);
      float sine = sqrt(max(0.0, 1.0 - cosine * cosine));
      toWindow = basisAbout(uKeyTowards) * vec3(sine * cos(2.0 * PI * c.y), sine * sin(2.0 * PI * c.y), cosine);
    }
    vec3 direction;
    bool scatters = sampleBounce(bounce, vec4(a, b.x), b.y, direction);

    // Both directions, each with its mirror image in the tangent plane.
    BounceValue light = BounceValue(vec3(0.0), 0.0);
    BounceValue onward = BounceValue(vec3(0.0), 0.0);
    for (int m = 0; m < LOOP(4); m++) {
      bool onwards = m < 2;
      if (onwards ? !scatters : !window) continue;
      vec3 towards = onwards ? direction : toWindow;
      float above = dot(towards, geometric);
      if ((m & 1) == 1) towards -= 2.0 * above * geometric;
      BounceValue v = bounceTowards(bounce, towards, above >= 0.0);
      if (onwards) onward = BounceValue(onward.scattered + v.scattered, onward.pdf + v.pdf);
      else light = BounceValue(light.scattered + v.scattered, light.pdf + v.pdf);
    }

    // What plies and bundles of fibres hide of the light, they light by one another: white yarn loses none.
    carried *= yarn.open / (1.0 - bounce.all * (1.0 - yarn.open));
    asked = carried * light.scattered * (PI * uKeyLight * windowPdf / (windowPdf + light.pdf));
    asking = window && brightest(asked) > 0.0;
    vec3 askO = leavingFrom(place, at, geometric, toWindow);
    if (scatters) {
      bounces++;
      sheet = false;
      pdf = onward.pdf;
      carried *= onward.pdf > 0.0 ? onward.scattered / onward.pdf : vec3(0.0);
      nextO = leavingFrom(place, at, geometric, direction);
      nextD = direction;
      if (bounces >= ROULETTE_FROM) {
        float lives = min(1.0, brightest(carried));
        carried = b.z < lives ? carried / lives : vec3(0.0);
      }
    } else {
      sheet = true;
      carried *= bounce.straight / bounce.through;
      nextO = at + (chordAlong(place, d) + LEAVE_MM) * d;
      nextD = d;
    }
    begin = 0.0;
    if (!asking && brightest(carried) <= 0.0) break;
    o = asking ? askO : nextO;
    d = asking ? toWindow : nextD;
  }
  return radiance;
}

void main() {
  pixelKey = uvec2(gl_FragCoord.xy + uPixelOffset);
  vec3 colour = tracePath();
  if (uHistoryWeight > 0.0) {
    colour = mix(colour, texelFetch(uHistory, ivec2(gl_FragCoord.xy), 0).rgb, uHistoryWeight);
  }
  outColour = vec4(colour, 1.0);
}
