// The reference picture: of each pixel's paths from the eye through the cloth one ray a pass, so that rays, and not paths,
// keep step. Light and surfaces are the real-time picture's; what it estimates between threads is computed here.
//
// A path goes by turns: its ray meets a surface, which ends the pass; in the next the ray that asks after the window there is
// followed, in the one after that its next ray. Before each pass pathLeave.frag.glsl shades the surfaces where paths are and says
// what leaves them: in one program with the walk it took half as long again to compile. A path that ends makes way for the pixel's
// next in the same pass.
#include "view.glsl"
#include "walk.glsl"
#include "surface.glsl"
#include "light.glsl"
#include "pathState.glsl"
#include "pathDrape.glsl"

uniform highp vec3 uBackground;
uniform highp int uMostBounces;  // 1 .. MOST_BOUNCES; with 1, light comes from window and room only
uniform highp sampler2D uHistory;  // the means that paths are added to
uniform highp vec2 uTargetOffset;  // of the tile within these
uniform highp int uSamplesBefore;  // in these, where all paths begin anew; else -1
uniform highp int uSamplesWanted;
// What leaves the surfaces where paths are, each ray as its path's.
uniform highp usampler2D uLeftPlace;
uniform highp usampler2D uLeftWay;
uniform highp usampler2D uLeftCarried;

layout(location = 3) out highp uvec4 outSum;

const float PI = 3.141592653589793;
#include "hairPacked.glsl"
// Only in clear sheets are there more surfaces than bounces.
const int MOST_SURFACES = 2 * MOST_BOUNCES;

// As the real-time picture's: a plain sequence of low discrepancy (R2), shifted in each pixel.
Ray eyeRay(int sampled) {
  vec2 pixel = floor(gl_FragCoord.xy) + uPixelOffset;
  vec2 shift = unitFromHash(hash3(uvec3(uvec2(pixel), 0x51ed270bu))).xy;
  vec2 jitter = fract(0.5 + float(sampled) * vec2(0.7548776662466927, 0.5698402909980532));
  vec2 q = pixel + fract(jitter + shift) - 0.5 * uPictureSize;
  vec3 across = q.x * uRight + q.y * uUp;
  return Ray(uEye + uMmPerPixel * across, normalize(uForward + uTanPerPixel * across));
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
#ifdef DRAPE
  setDrape();
#endif
  // What leaves the surface where the path is: a ray that asks after the window, with the light that comes along it where nothing
  // stands in its way, or the path's next.
  Path left = p;
  bool asks = false;
  if (p.stage == AT_A_SURFACE) {
    ivec2 pixel = ivec2(gl_FragCoord.xy);
    readWay(left, texelFetch(uLeftPlace, pixel, 0), texelFetch(uLeftWay, pixel, 0), texelFetch(uLeftCarried, pixel, 0));
    asks = left.stage == AT_A_SURFACE;
    if (!asks) p = left;
    if (p.stage == AT_THE_EYE) endPath(p);
  }
  if (p.samples < uSamplesWanted) {
    bool fromEye = p.stage == AT_THE_EYE;
    if (fromEye) {
      Ray first = eyeRay(p.samples);
      p.origin = first.origin;
      p.direction = first.direction;
    }
    vec3 o = asks ? left.origin : p.origin;
    vec3 d = asks ? left.direction : p.direction;
#ifdef HAIR
    hairClearMm = asks || p.stage == OFF_A_HAIR ? intBitsToFloat(asks ? left.cell : p.cell) : 0.0;
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
      if (!asks) p.panel = panel;
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
    if (asks) {
      if (hit.kind == KIND_NONE) p.sum += left.carried;
      p.asked = true;
    } else if (hit.kind == KIND_NONE) {
      p.sum += p.carried * lightBeyond(p, d);
      endPath(p);
    } else if (p.bounces >= uMostBounces || p.surfaces >= MOST_SURFACES) {
      endPath(p);
    } else {
      p.stage = AT_A_SURFACE;
      p.asked = false;
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
  storeWay(p);
  outSum = uvec4(floatBitsToUint(p.sum), uint(p.samples));
}
