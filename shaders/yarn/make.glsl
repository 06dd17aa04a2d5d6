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
// A quarter round thread leans by this much on average over its width: the slope at its edge is twice that.
const float ROUND_SLOPE = 1.1;
const float QUARTER = 1.57079632679;

// Whole numbers of a pattern go round a thread, so that it closes.
float timesAround(float girth, float periodMm, float least) {
  return max(least, floor(girth / periodMm + 0.5));
}

// Across a thread of a pattern, -1..1.
float acrossOne(float x) {
  return 2.0 * fract(x) - 1.0;
}

// winding: of the thread's own twist, turns; a strip has none.
Relief makeRelief(ThreadPlace s, vec4 make, float winding, float pixelMm) {
  Relief r = Relief(vec2(0.0), 1.0, 0.0);
  float girth = TURN * s.radius;
  float turn = winding;
  float shown = fadeOut(min(make.y, make.z), pixelMm);
  if (make.x == MAKE_WOVEN) {
    // Plain weave: one thread or the other is uppermost, crowned along its way and round across it.
    float v = turn * 2.0 * timesAround(0.5 * girth, make.y, 1.0);
    float u = s.along / make.z;
    bool lengthwise = ((int(floor(v)) + int(floor(u))) & 1) == 0;
    float a = acrossOne(v);
    float l = acrossOne(u);
    r.slope = -ROUND_SLOPE * (lengthwise ? vec2(0.45 * l, a) : vec2(l, 0.45 * a)) * shown;
    float corner = lengthwise ? abs(a) : abs(l);
    r.open = 1.0 - 0.5 * shown * corner * corner * corner;
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
    // Tufts of felt lie every way; leaf and folded paper in ridges.
    int around = int(timesAround(girth, make.y, 3.0));
    vec2 at = vec2(turn * float(around), s.along / make.z);
    float step = 0.3;
    float here = wrappedNoise(at, around, s.thread);
    float beside = wrappedNoise(at + vec2(step, 0.0), around, s.thread);
    float ahead = wrappedNoise(at + vec2(0.0, step), around, s.thread);
    float rise = make.x == MAKE_FELTED ? 0.5 : 1.1;
    float stretch = make.x == MAKE_FELTED ? 1.0 : min(1.0, 3.0 * make.y / make.z);
    r.slope = rise * vec2(stretch * (ahead - here), beside - here) / step * shown;
    r.open = 1.0 - 0.35 * shown * (1.0 - here);
    if (make.x == MAKE_FELTED) r.slant = TURN * wrappedNoise(2.3 * at, 3 * around, s.thread + 9173);
  }
  return r;
}

// Creases of a folded strip: as many as it lies in folds, wandering as it turns.
void addFolds(ThreadPlace s, float folds, float pixelMm, inout Relief r) {
  int around = int(2.0 * folds);
  float girth = TURN * s.radius;
  float shown = fadeOut(girth / float(around), pixelMm);
  vec2 at = vec2(s.around / TURN * float(around), s.along / (4.0 * girth));
  float here = wrappedNoise(at, around, s.thread + 611);
  float beside = wrappedNoise(at + vec2(0.15, 0.0), around, s.thread + 611);
  float ahead = wrappedNoise(at + vec2(0.0, 0.1), around, s.thread + 611);
  r.slope += shown * vec2(0.25 * (ahead - here) / 0.1, 0.9 * (beside - here) / 0.15);
  r.open *= 1.0 - 0.5 * shown * (1.0 - smoothstep(0.1, 0.5, here));
}
