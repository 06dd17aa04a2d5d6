#include "place.glsl"

// Which of a thread's yarns shows at a place, which side of it, and in which of its colours.
// Layout: src/engine/packing/packMaterials.ts.

// How far a thread's section turns its winding at a place; start differs from thread to thread.
float windingAt(ThreadPlace s, float turnsPerMm) {
  float start = unitFromHash(hash3(uvec3(uint(s.thread), 77u, 3u))).x;
  return s.around / TURN - s.along * turnsPerMm + start;
}

int faceTexel(int material, int face) {
  return material * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + face * STRAND_TEXELS;
}

// A strip's other side, where it is uppermost. A soft strip turns over irregularly; a stiff one lies as it was laid.
bool showsBack(ThreadPlace s, float turnsPerMm) {
  if (turnsPerMm <= 0.0) return s.around < 0.0;
  float turned = s.along * turnsPerMm;
  turned += 0.6 * wrappedNoise(vec2(0.0, 3.0 * turned), 1, s.thread + 4001);
  float start = unitFromHash(hash3(uvec3(uint(s.thread), 79u, 5u))).x;
  return fract(s.around / TURN - turned + start) > 0.5;
}

int strandTexel(ThreadPlace s, vec4 header) {
#ifdef HAIR
  if (isHair(s.swell)) return hairStrandTexel(s.material);
  int core = int(texelFetch(uMaterialTable, tableAt(s.material * MATERIAL_TEXELS + CORE_TEXEL), 0).x);
  if (core > 0) return faceTexel(s.material, core);
#endif
#ifdef MESH
  if (s.part >= 0) return faceTexel(s.material, s.part);
#endif
  int strands = int(header.x);
  int strand = clamp(int(floor(fract(windingAt(s, header.z)) * header.x)), 0, strands - 1);
  int texel = faceTexel(s.material, strand);
  float back = texelFetch(uMaterialTable, tableAt(texel), 0).w;
  if (back > 0.5 && showsBack(s, texelFetch(uMaterialTable, tableAt(texel + 6), 0).y)) texel = faceTexel(s.material, int(back));
  return texel;
}

Optics opticsAt(int texel) {
  return readOptics(
    texelFetch(uMaterialTable, tableAt(texel + 1), 0),
    texelFetch(uMaterialTable, tableAt(texel + 2), 0),
    texelFetch(uMaterialTable, tableAt(texel + 3), 0)
  );
}

const float COLOURS_OF_PLIES = 1.0;
const float COLOURS_OF_FIBRES = 2.0;  // else along the yarn

// Bundles of fibres that keep together show about so wide, mm, and run eleven widths; no yarn shows fewer than LEAST_BUNDLES round
// it (estimates from close-ups, some ten fibres).
const float BUNDLE_MM = 0.15;
const int LEAST_BUNDLES = 14;
const int MOST_BUNDLES = 120;
const float BUNDLE_WIDTHS = 11.0;
// Length of a print's motif over its width (estimate).
const float MOTIF_LONG = 2.0;
const int LEAST_MOTIFS = 2;

// Where in a yarn's repeat a place lies, 0..1.
float placeInRepeat(ThreadPlace s, float repeatMm) {
  ivec2 texel = tableAt((s.thread >> 1) * THREAD_TEXELS + 2);
  vec4 run = (s.thread & 1) == 1 ? texelFetch(uEndTable, texel, 0) : texelFetch(uRowTable, texel, 0);
  return fract((run.x + run.y * s.along) / repeatMm);
}

// The colour of one yarn at a place; its mean where what it is made of is finer than the picture.
vec3 faceColour(ThreadPlace s, int texel, float winding, float plies, float turnsPerMm, float pixelMm) {
  vec3 mean = texelFetch(uMaterialTable, tableAt(texel), 0).rgb;
  vec4 several = texelFetch(uMaterialTable, tableAt(texel + 5), 0);
  if (several.x < 0.5) return mean;
  float girth = TURN * s.radius;
  float share = 0.0;
  float shown = 1.0;
  if (several.x == COLOURS_OF_PLIES) {
    share = floor(fract(winding) * plies) / plies;
    shown = fadeOut(girth / plies, pixelMm);
  } else if (several.x == COLOURS_OF_FIBRES) {
    // Fibres keep together in bundles, each of one colour, drawn out to a point at both ends; between them another shows.
    // Motifs of a print lie in the same way, as wide as they are told or so much wider that whole ones go round.
    bool printed = several.w > 0.0;
    float lanes = float(clamp(int(girth / (printed ? several.w : BUNDLE_MM)), printed ? LEAST_MOTIFS : LEAST_BUNDLES, MOST_BUNDLES));
    float x = (winding + s.along * turnsPerMm * 0.7) * lanes;
    // Its middle: what is left over from whole turns is then never a rounding away from a turn.
    float lane = floor(x) + 0.5;
    float begun = unitFromHash(hash3(uvec3(uint(mod(lane, lanes)), uint(s.thread), 131u))).x;
    float piece = s.along * lanes / (girth * (printed ? MOTIF_LONG : BUNDLE_WIDTHS)) + begun;
    vec2 within = 2.0 * vec2(fract(x), fract(piece)) - 1.0;
    bool beside = abs(within.x) > 1.0 - within.y * within.y;
    if (beside) {
      // The lane on that side, half a piece on.
      lane += sign(within.x);
      piece += 0.5;
    }
    share = unitFromHash(hash3(uvec3(uint(mod(lane, lanes)), uint(int(floor(piece))), uint(s.thread) * 4u + (beside ? 3u : 1u)))).x;
    shown = fadeOut(girth / lanes, pixelMm);
  } else {
    share = placeInRepeat(s, several.w);
  }
  int first = s.material * MATERIAL_TEXELS + int(several.y);
  int stops = int(several.z);
  vec3 begins = texelFetch(uMaterialTable, tableAt(first), 0).rgb;
  // Dye wicks along the yarn: colours of a length pass over into one another, the last into the first.
  bool along = several.x > COLOURS_OF_FIBRES;
  float fade = texelFetch(uMaterialTable, tableAt(texel + 6), 0).x;
  vec3 found = begins;
  if (along) found = mix(texelFetch(uMaterialTable, tableAt(first + stops - 1), 0).rgb, begins, smoothstep(-fade, fade, share));
  for (int k = 1; k < LOOP(MAX_STOPS); k++) {
    if (k >= stops) break;
    vec4 stop = texelFetch(uMaterialTable, tableAt(first + k), 0);
    if (stop.w - fade > share) break;
    found = mix(found, stop.rgb, smoothstep(-fade, fade, share + 1e-5 - stop.w));
  }
  if (along) found = mix(found, begins, smoothstep(-fade, fade, share - 1.0));
  return mix(mean, found, shown);
}
