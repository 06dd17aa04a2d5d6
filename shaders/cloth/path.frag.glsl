// The reference picture: of each pixel's paths from the eye through the cloth one ray a pass, so that rays, and not paths,
// keep step. Light and surfaces are the real-time picture's; what it estimates between threads is computed here.
//
// A path goes by turns: its ray meets a surface, which ends the pass; in the next the surface is shaded and asks after the
// window; in the one after that its next ray is followed. A path that ends makes way for the pixel's next in the same pass.
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "light.glsl"
#include "../yarn/plies.glsl"
#include "../yarn/leaf.glsl"
#include "../scatter/bounce.glsl"
#include "pathState.glsl"
#include "pathDrape.glsl"

uniform highp vec3 uBackground;
uniform highp int uMostBounces;  // 1 .. MOST_BOUNCES; with 1, light comes from window and room only
uniform highp sampler2D uHistory;  // the means that paths are added to
uniform highp vec2 uTargetOffset;  // of the tile within these
uniform highp int uSamplesBefore;  // in these, where all paths begin anew; else -1
uniform highp int uSamplesWanted;

const float PI = 3.141592653589793;
// Only in clear sheets are there more surfaces than bounces.
const int MOST_SURFACES = 2 * MOST_BOUNCES;
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

// As the real-time picture's: a plain sequence of low discrepancy (R2), shifted in each pixel.
Ray eyeRay(int sampled) {
  vec2 pixel = floor(gl_FragCoord.xy) + uPixelOffset;
  vec2 shift = unitFromHash(hash3(uvec3(uvec2(pixel), 0x51ed270bu))).xy;
  vec2 jitter = fract(0.5 + float(sampled) * vec2(0.7548776662466927, 0.5698402909980532));
  vec2 q = pixel + fract(jitter + shift) - 0.5 * uPictureSize;
  vec3 across = q.x * uRight + q.y * uUp;
  return Ray(uEye + uMmPerPixel * across, normalize(uForward + uTanPerPixel * across));
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

// Shades the surface where the path is: its next ray, and the one to the window.
Asking leaveSurface(inout Path p) {
  float windowPdf = 1.0 / (2.0 * PI * (1.0 - uKeyCosHalfAngle));
  bool window = uKeyLight > 0.0;
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
  if (p.cell < 0 && !strand) return leaveHair(p, vec3(a.xy, b.z), toWindow, windowPdf);
#endif
  vec3 at = p.origin;
  vec3 d = p.direction;
  Surface surface = Surface(vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), 1.0);
#ifdef HAIR
  if (strand) surface = packedHair(p.cell);
  else
#endif
  if (p.kind == KIND_EXTRA) surface = surfaceOfExtra(p.index, at);
  else {
    surface = surfaceOfThread(p.kind, p.index, p.cell, at);
  }
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
  p.carried *= yarn.open / (1.0 - bounce.all * (1.0 - yarn.open));
  Asking ask;
  ask.light = p.carried * light.scattered * (PI * uKeyLight * windowPdf / (windowPdf + light.pdf));
  ask.asks = window && brightest(ask.light) > 0.0;
  ask.origin = leavingFrom(place, at, geometric, toWindow);
  ask.direction = toWindow;
  p.stage = ON_ITS_WAY;
  p.sheet = !scatters;
  if (scatters) {
    p.bounces++;
    p.pdf = onward.pdf;
    p.carried *= onward.pdf > 0.0 ? onward.scattered / onward.pdf : vec3(0.0);
    p.origin = leavingFrom(place, at, geometric, direction);
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

// Light of the room and the window where the path leaves the cloth.
vec3 lightBeyond(Path p, vec3 d) {
  if (p.bounces == 0) return uBackground;
  vec3 light = vec3(uSkyLight * skyRadiance(d));
  // The window was asked after too: each way counts by its density (Veach & Guibas 1995, the balance heuristic).
  if (uKeyLight > 0.0 && dot(d, uKeyTowards) > uKeyCosHalfAngle) {
    float windowPdf = 1.0 / (2.0 * PI * (1.0 - uKeyCosHalfAngle));
    float weight = p.sheet ? 1.0 : p.pdf / (p.pdf + windowPdf);
    light += weight * PI * uKeyLight * windowPdf;
  }
  return light;
}

void main() {
  Path p = loadPath();
  if (uSamplesBefore >= 0) {
    p.samples = uSamplesBefore;
    p.sum = uSamplesBefore == 0 ? vec3(0.0) : float(uSamplesBefore) * texelFetch(uHistory, ivec2(gl_FragCoord.xy + uTargetOffset), 0).rgb;
    p.stage = AT_THE_EYE;
  }
  Asking ask = Asking(false, vec3(0.0), vec3(0.0), vec3(0.0));
  keyTowards = uKeyTowards;
#ifdef DRAPE
  setDrape();
#endif
  if (p.stage == AT_A_SURFACE) {
#ifdef DRAPE
    Panel f = panelAt(p.panel - int(uDrapeFar.y));
    keyTowards = directionInto(f, uKeyTowards);
#endif
    ask = leaveSurface(p);
#ifdef DRAPE
    ask.origin = placeOutOf(f, ask.origin);
    ask.direction = directionOutOf(f, ask.direction);
    p.origin = placeOutOf(f, p.origin);
    p.direction = directionOutOf(f, p.direction);
#endif
    if (!ask.asks && brightest(p.carried) <= 0.0) endPath(p);
  }
  if (p.samples < uSamplesWanted) {
    bool fromEye = p.stage == AT_THE_EYE;
    if (fromEye) {
      Ray first = eyeRay(p.samples);
      p.origin = first.origin;
      p.direction = first.direction;
    }
    vec3 o = ask.asks ? ask.origin : p.origin;
    vec3 d = ask.asks ? ask.direction : p.direction;
#ifdef HAIR
    if (!ask.asks) hairClearMm = p.stage == OFF_A_HAIR ? intBitsToFloat(p.cell) : 0.0;
#endif
    float start = fromEye ? uRayStart : 0.0;
#ifdef DRAPE
    // The ray in the space of the panel where it meets the cloth.
    vec3 metO = o;
    vec3 metD = d;
    Hit hit;
    hit.kind = KIND_NONE;
    hit.t = NEVER;
#ifdef HAIR
    float clear = hairClearMm;
#endif
    for (int panel = 0; panel < LOOP(MOST_PANELS); panel++) {
      int k = panel - int(uDrapeFar.y);
      if (k > int(uDrape.w)) break;
      Panel f = panelAt(k);
      vec3 inO = placeInto(f, o);
      vec3 inD = directionInto(f, d);
      vec2 part = partWithin(k, f, inO, inD, start, hit.t);
      if (part.x >= part.y) continue;
#ifdef HAIR
      // Of a ray off a hair only the beginning is let through.
      hairClearMm = max(0.0, clear - (part.x - start));
#endif
      Hit found = walkCloth(inO, inD, part.x, part.y, -1);
      if (found.kind == KIND_NONE) continue;
      hit = found;
      metO = inO;
      metD = inD;
      p.panel = panel;
    }
#else
    Hit hit = walkCloth(o, d, start, NEVER, -1);
#endif
    if (fromEye) {
      p.carried = vec3(1.0);  // what reaches the eye of the light that comes along the path
      p.pdf = 0.0;
      p.pixelMm = pixelMmAt(hit.t);
      p.bounces = 0;
      p.surfaces = 0;
      p.sheet = false;
      p.stage = ON_ITS_WAY;
    }
    if (ask.asks) {
      if (hit.kind == KIND_NONE) p.sum += ask.light;
      if (brightest(p.carried) <= 0.0) endPath(p);
    } else if (hit.kind == KIND_NONE) {
      p.sum += p.carried * lightBeyond(p, d);
      endPath(p);
    } else if (p.bounces >= uMostBounces || p.surfaces >= MOST_SURFACES) {
      endPath(p);
    } else {
      p.stage = AT_A_SURFACE;
#ifdef DRAPE
      p.origin = metO + hit.t * metD;
      p.direction = metD;
#else
      p.origin = o + hit.t * d;
#endif
      p.kind = hit.kind;
      p.index = hit.index;
      p.cell = hit.cell;
#ifdef HAIR
      if (hit.isHair) p.cell = packHair(surfaceOfHair(hit.kind, hit.hair));
#endif
    }
  }
  storePath(p);
}
