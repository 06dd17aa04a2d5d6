#include "faces.glsl"

// What a strip or cord is made of, as relief in its surface: threads of its own small weave, loops, braided strands, leaf
// fibres, folds. Slopes are those of round threads; each fades out as its period falls to two pixels.

// Slope and shade of a surface: along the thread, and around it (per unit of height on length); share of light let in.
struct Relief {
  vec2 slope;
  float open;
  float slant;  // angle of the fibres that show, turned from the thread's own direction
};

const float MAKE_WOVEN = 1.0;
const float MAKE_KNITTED = 2.0;
const float MAKE_FELTED = 3.0;
const float MAKE_BRAIDED = 4.0;
const float MAKE_TWILL = 6.0;
const float MAKE_CREASED = 7.0;
// A quarter round thread leans by this much on average over its width: the slope at its edge is twice that.
const float ROUND_SLOPE = 1.1;
const float QUARTER = 1.57079632679;

// Whole numbers of a pattern go round a thread, so that it closes.
float timesAround(float girth, float periodMm, float least) {
  return max(least, floor(girth / periodMm + 0.5));
}

// Slope of a crease's two sides, each of which falls by this much at most over a facet's width (estimate: folds of 45 to 90°).
const float CREASE_DEPTH = 1.5;

// Across a thread of a pattern, -1..1.
float acrossOne(float x) {
  return 2.0 * fract(x) - 1.0;
}

// winding: of the thread's own twist, turns; a strip has none. moved: of the pattern, around (turns) and along (mm). rise: slope
// of a woven strip's threads.
Relief makeRelief(ThreadPlace s, vec4 make, float winding, vec2 moved, float rise, float pixelMm) {
  Relief r = Relief(vec2(0.0), 1.0, 0.0);
  float girth = TURN * s.radius;
  float turn = winding + moved.x;
  float shown = fadeOut(min(make.y, make.z), pixelMm);
  if (make.x == MAKE_WOVEN || make.x == MAKE_TWILL) {
    // One thread or the other is uppermost, crowned along its way and round across it: in plain weave by turns, in twill
    // lengthwise two of three.
    float repeat = make.x == MAKE_TWILL ? 3.0 : 2.0;
    float v = turn * repeat * timesAround(girth / repeat, make.y, 1.0);
    float u = (s.along + moved.y) / make.z;
    bool lengthwise = (mod(floor(v) + floor(u) + 0.5, repeat) > 1.0) == (repeat > 2.5);
    float a = acrossOne(v);
    float l = acrossOne(u);
    r.slope = -rise * (lengthwise ? vec2(0.45 * l, a) : vec2(l, 0.45 * a)) * shown;
    float corner = lengthwise ? abs(a) : abs(l);
    r.open = 1.0 - 0.4 * rise * shown * corner * corner * corner;
    r.slant = lengthwise ? 0.0 : QUARTER;
  } else if (make.x == MAKE_KNITTED) {
    // Two legs of a loop lean together to a V.
    float v = turn * timesAround(girth, make.y, 3.0);
    float x = acrossOne(v);
    float u = s.along / make.z - 0.55 * abs(x);
    float leg = acrossOne(2.0 * fract(v));
    float l = acrossOne(u);
    r.slope = -ROUND_SLOPE * vec2(0.7 * l, 0.8 * leg) * shown;
    r.open = 1.0 - 0.55 * shown * max(pow(abs(leg), 4.0), pow(abs(l), 6.0));
    r.slant = 0.5 * sign(x);
  } else if (make.x == MAKE_BRAIDED) {
    // Strands of both hands cross over and under one another.
    float n = timesAround(girth, make.y, 4.0);
    float p = turn * n + s.along / make.z;
    float q = turn * n - s.along / make.z;
    bool rightward = ((int(floor(p)) + int(floor(q))) & 1) == 0;
    float a = acrossOne(rightward ? q : p);
    float l = acrossOne(rightward ? p : q);
    vec2 across = rightward ? vec2(-0.7071, 0.7071) : vec2(0.7071, 0.7071);
    vec2 with = rightward ? vec2(0.7071, 0.7071) : vec2(-0.7071, 0.7071);
    r.slope = -ROUND_SLOPE * (a * across + 0.5 * l * with) * shown;
    r.open = 1.0 - 0.55 * shown * max(pow(abs(a), 4.0), pow(abs(l), 6.0));
    r.slant = (rightward ? 0.5 : -0.5) * QUARTER;
  } else {
    int around = int(timesAround(girth, make.y, 3.0));
    vec2 at = vec2(turn * float(around), s.along / make.z);
    vec2 cell = floor(at);
    vec4 corners = strewnCorners(cell, around, s.thread);
    if (make.x == MAKE_CREASED) {
      // A sheet too stiff to stretch bends in flat facets that meet in creases.
      vec3 here = flatBetween(corners, at - cell);
      r.slope = CREASE_DEPTH * vec2(here.z * make.y / make.z, here.y) * shown;
      r.open = 1.0 - 0.45 * shown * (1.0 - here.x);
    } else {
      // Tufts of felt lie every way; leaf in ridges.
      vec3 here = smoothBetween(corners, at - cell);
      float tuft = make.x == MAKE_FELTED ? 0.5 : 1.1;
      float stretch = make.x == MAKE_FELTED ? 1.0 : min(1.0, 3.0 * make.y / make.z);
      r.slope = tuft * vec2(stretch * here.z, here.y) * shown;
      r.open = 1.0 - 0.35 * shown * (1.0 - here.x);
      if (make.x == MAKE_FELTED) r.slant = TURN * wrappedNoise(3.0 * at, 3 * around, s.thread + 9173);
    }
  }
  return r;
}

// Layers of a folded strip, one lapping over the next: soft folds that run along it and wander, each layer's edge as thick as
// the cloth and a shadow beside it.
struct Fold {
  vec2 slope;
  float open;
  vec2 moved;  // how a layer's own pattern lies, turns and mm
};

// Over so many girths folds begin, end and wander (estimates).
const float FOLD_GIRTHS = 2.0;
const float FOLD_WANDER = 0.8;
// A fold turns over about so many thicknesses of the cloth.
const float FOLD_EDGE = 2.0;

// folds: layers round the thread; thickMm: of the cloth.
Fold foldAt(ThreadPlace s, float folds, float thickMm, float pixelMm) {
  int around = int(folds);
  float girth = TURN * s.radius;
  float widthMm = girth / folds;
  float shown = fadeOut(widthMm, pixelMm);
  float run = s.along / (FOLD_GIRTHS * girth);
  float turn = s.around / TURN + 0.5;
  float v = turn * folds + FOLD_WANDER * (wrappedNoise(vec2(turn * folds, run), around, s.thread + 611) - 0.5);
  float place = fract(v);
  int layer = int(mod(floor(v) + 0.5, folds));
  float edge = min(0.45, FOLD_EDGE * thickMm / widthMm);
  // How far the edge of the layer before, which lies over this one, stands off it here; and this one's own edge.
  float rises = fract(1.7 * run);
  vec4 edges = strewnCorners(vec2(float(layer - 1), floor(1.7 * run)), around, s.thread + 4211);
  vec2 stands = smoothstep(0.2, 0.6, mix(edges.xy, edges.zw, rises * rises * (3.0 - 2.0 * rises)));
  float rim = max(0.0, (place - 1.0 + edge) / edge);
  float step = thickMm / widthMm;
  // Rises gently to its edge and turns down over it; what falls is hidden by the layer's own roundness.
  float across = stands.y * (step - 1.1 * rim * rim * (3.0 - 2.0 * rim));
  // Soft creases askew to the strip.
  vec3 creased = wrappedNoiseRise(vec2(turn * folds, s.along / (1.2 * girth)), around, s.thread + 97);
  vec2 crease = vec2(0.15, 0.5) * creased.zy;
  float shade = 1.0 - 0.75 * stands.x * (1.0 - smoothstep(0.0, edge, place));
  vec3 lies = unitFromHash(hash3(uvec3(uint(layer + 64), uint(s.thread), 157u)));
  return Fold(shown * (vec2(0.0, across) + crease), mix(1.0, shade, shown), vec2(0.0, 3.0 * lies.x));
}
