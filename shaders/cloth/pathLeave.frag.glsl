// What leaves the surfaces where the reference's paths are (path.frag.glsl): the ray that asks after the window, or the path's next
// where that was asked already.
#include "view.glsl"
#include "surface.glsl"
#include "light.glsl"
#include "../yarn/plies.glsl"
#include "../yarn/leaf.glsl"
#include "../scatter/bounce.glsl"
#include "pathState.glsl"
#include "pathDrape.glsl"

const float PI = 3.141592653589793;
#include "hairPacked.glsl"
// A thread's surface is found to about 5e-5 mm.
const float LEAVE_MM = 1e-3;
// Paths are cut short by chance from this bounce on.
const int ROULETTE_FROM = 3;

// Seven numbers whose multiples fill a cube of as many sides evenly (M. Roberts 2018, the R sequence: powers of the root
// of x^8 = x + 1), times 2^32.
const uvec3 EVEN_A = uvec3(0xe95e1dd1u, 0xd4bc74e1u, 0xc1edbc5bu);
const uvec3 EVEN_B = uvec3(0xb0c8ac50u, 0xa127a31cu, 0u);
const uvec3 EVEN_C = uvec3(0x92e852c8u, 0x85eb75c3u, 0u);

// Towards the window, in the axes of the cloth where it is met.
vec3 keyTowards;

// Three numbers in 0..1, the which-th of a surface; a path's first surface takes them from the even sequence, shifted by
// a hash of the pixel.
vec3 randoms(Path p, uint which, uvec3 even) {
  uvec2 pixel = uvec2(gl_FragCoord.xy + uPixelOffset);
  bool first = p.surfaces == 0;
  uint sampled = uint(p.samples);
  uvec3 hash = hash3(uvec3(pixel, ((first ? 0u : sampled) << 8u) + 3u * uint(p.surfaces) + which));
  return unitFromHash(first ? hash + even * sampled : hash);
}

// Length of the way through the thread's section from a place on its surface, along d.
float chordAlong(ThreadPlace place, vec3 d) {
  vec3 level = levelBeside(place.axis);
  vec2 at = vec2(cos(place.around), sin(place.around)) / place.halfSize;
  vec2 way = vec2(dot(d, level), dot(d, cross(place.axis, level))) / place.halfSize;
  return clamp(-2.0 * dot(at, way) / max(1e-6, dot(way, way)), 0.0, 4.0 * place.halfSize.x);
}

// Where a ray towards d begins: off this side, or off the far side of the thread.
vec3 leavingFrom(ThreadPlace place, vec3 at, vec3 geometric, vec3 d) {
  if (dot(d, geometric) >= 0.0) return at + LEAVE_MM * geometric;
#ifdef MESH
  if (place.part >= 0) return at - LEAVE_MM * geometric;
#endif
  return at - (chordAlong(place, -geometric) + LEAVE_MM) * geometric;
}

// A ray that asks after the window, and the light that comes along it where nothing stands in its way.
struct Asking {
  bool asks;
  vec3 origin;
  vec3 direction;
  vec3 light;
};

#include "hairPath.glsl"

// Shades the surface where the path is: the ray to the window, where that is to be asked and not asked yet, else its next.
Asking leaveSurface(inout Path p) {
  float windowPdf = 1.0 / (2.0 * PI * (1.0 - uKeyCosHalfAngle));
  bool window = uKeyLight > 0.0 && !p.asked;
  vec3 a = randoms(p, 0u, EVEN_A);
  vec3 b = randoms(p, 1u, EVEN_B);
  vec3 c = randoms(p, 2u, EVEN_C);
  p.surfaces++;
  vec3 toWindow = keyTowards;
  if (window) {
    float cosine = mix(1.0, uKeyCosHalfAngle, c.x);
    float sine = sqrt(max(0.0, 1.0 - cosine * cosine));
    float turn = 2.0 * PI * c.y;
    toWindow = basisAbout(keyTowards) * vec3(sine * cos(turn), sine * sin(turn), cosine);
  }
#ifdef HAIR
  bool strand = p.cell < 0 && hairIsStrand(int(threadTexel(ownerOf(p.kind, p.index)).w));
  if (p.cell < 0 && !strand) return leaveHair(p, vec3(a.xy, b.z), window, toWindow, windowPdf);
#endif
  vec3 at = p.origin;
  vec3 d = p.direction;
  Surface surface;
#ifdef HAIR
  if (strand) surface = packedHair(p.cell);
  else
#endif
    surface = surfaceAt(p.kind, p.index, p.cell, at);
  surface.normal = seenSide(surface.normal, d);
  ThreadPlace place = threadPlaceAt(p.kind, p.index, at, surface.normal, surface.axis, surface.swell);
  YarnSurface yarn = yarnSurface(place, p.pixelMm);
  layLeaf(yarn, place, at);
  leanSurface(yarn, place);
  vec3 geometric = towardsEye(surface.normal, d);
  vec3 n = towardsEye(yarn.normal, d);
  vec3 t = normalize(yarn.tangent - dot(yarn.tangent, n) * n);
  Bounce bounce = bounceAt(yarn.optics, yarn.reflectance, geometric, n, t, -d);

  vec3 direction;
  bool scatters = sampleBounce(bounce, vec4(a, b.x), b.y, direction);

  // What plies and bundles of fibres hide of the light, they light by one another: white yarn loses none.
  p.carried *= yarn.open / (1.0 - bounce.all * (1.0 - yarn.open));
  Asking ask = Asking(false, vec3(0.0), vec3(0.0), vec3(0.0));
  // Both directions, each with its mirror image in the tangent plane; onwards only where there is no light to be asked after.
  BounceValue light = BounceValue(vec3(0.0), 0.0);
  BounceValue onward = BounceValue(vec3(0.0), 0.0);
  for (int m = 0; m < LOOP(4); m++) {
    bool onwards = m >= 2;
    if (m == 2) {
      ask.light = p.carried * light.scattered * (PI * uKeyLight * windowPdf / (windowPdf + light.pdf));
      ask.asks = window && brightest(ask.light) > 0.0;
      if (ask.asks) break;
    }
    if (onwards ? !scatters : !window) continue;
    vec3 towards = onwards ? direction : toWindow;
    float above = dot(towards, geometric);
    if ((m & 1) == 1) towards -= 2.0 * above * geometric;
    BounceValue v = bounceTowards(bounce, towards, above >= 0.0);
    if (onwards) onward = BounceValue(onward.scattered + v.scattered, onward.pdf + v.pdf);
    else light = BounceValue(light.scattered + v.scattered, light.pdf + v.pdf);
  }
  vec3 leaves = leavingFrom(place, at, geometric, ask.asks ? toWindow : direction);
  if (ask.asks) {
    ask.origin = leaves;
    ask.direction = toWindow;
    return ask;
  }
  p.stage = ON_ITS_WAY;
  p.sheet = !scatters;
  if (scatters) {
    p.bounces++;
    p.pdf = onward.pdf;
    p.carried *= onward.pdf > 0.0 ? onward.scattered / onward.pdf : vec3(0.0);
    p.origin = leaves;
    p.direction = direction;
    if (p.bounces >= ROULETTE_FROM) {
      float lives = min(1.0, brightest(p.carried));
      p.carried = b.z < lives ? p.carried / lives : vec3(0.0);
    }
  } else {
    p.carried *= bounce.straight / bounce.through;
    p.origin = at + (chordAlong(place, d) + LEAVE_MM) * d;
  }
  return ask;
}

void main() {
  Path p = loadPath();
  if (p.stage != AT_A_SURFACE) discard;
  keyTowards = uKeyTowards;
#ifdef DRAPE
  setDrape();
  Panel f = panelAt(p.panel - int(uDrapeFar.y));
  keyTowards = directionInto(f, uKeyTowards);
#endif
  Asking ask = leaveSurface(p);
  if (ask.asks) {
    p.stage = AT_A_SURFACE;
    p.origin = ask.origin;
    p.direction = ask.direction;
    p.carried = ask.light;
#ifdef HAIR
    p.cell = floatBitsToInt(hairClearMm);
#endif
  } else if (brightest(p.carried) <= 0.0) p.stage = AT_THE_EYE;
#ifdef DRAPE
  p.origin = placeOutOf(f, p.origin);
  p.direction = directionOutOf(f, p.direction);
#endif
  storeWay(p);
}
