#include "../common/hash.glsl"
#include "meshPart.glsl"
#include "meshOpen.glsl"

#ifdef MESH

// An open strip, crumpled. Twin, with the reasons: src/engine/packing/walk/intersectMesh.ts.
const float MESH_TURN = 6.283185307179586;
const float FILLED_HOLES = 0.1;
const float GAP_GROWS = 1.3;
const float SKIN_LEAN = 0.8;
const vec2 RAGGED = vec2(0.6, 2.5);
const float FLAKE_LEAN = 0.5;
const float MOST_ROUND = 0.9;
const float LAYER_SLANT = 0.15;
const float LAYER_SHIFT = 0.5;
const float GOLDEN_STEP = 0.618034;
const float MOST_STEP_MM = 0.02;
const float GUESS_MM = 0.2;
const float LAYER_LEAN = 0.35;
const float MESH_WIDER = 1.5;
// What lies nearer to the axis than this, squared, over the half width of what net is wound about, is that.
const float CORE_EDGE = 1.005;

// A place in a layer: what is there, the way across the nearest bar (along the thread, across the layer), and how far from
// its middle, -1..1; of flakes and paint, how far they lean.
struct MeshPlace {
  float part;  // 0: open
  vec2 across;
  float off;
};

// Where a thread's layers begin to sway, turns.
float swayStart(Segment s) {
  return unitFromHash(hash3(uvec3(uint(s.thread), 83u, 7u))).x;
}

// The layers' upward direction in the section, and how much the strip is squeezed across.
vec2 meshUpward(float start, vec4 more, float along) {
  float angle = more.y > 0.0 ? LAYER_LEAN * sin(MESH_TURN * (start + more.y * along)) : 0.0;
  return vec2(-sin(angle), cos(angle));
}

float layerLevel(int layer, float layers) {
  return (2.0 * float(layer) + 1.0) / layers - 1.0;
}

// Place from the middle of the nearest hole; w: half the hole's width and the bar's way.
vec2 fromHole(float shape, vec2 at, float pitch) {
  if (shape > 1.5) return at - pitch * floor(at / pitch + 0.5);
  vec2 box = vec2(1.0, 1.7320508) * pitch;
  vec2 a = at - box * floor(at / box + 0.5);
  vec2 b = at - 0.5 * box;
  b -= box * floor(b / box + 0.5);
  return dot(a, a) < dot(b, b) ? a : b;
}

// How much of the strip is painted, and in patches of how many mm.
vec2 meshPaint(Segment s) {
  return texelFetch(uMaterialTable, tableAt(s.meshTexel + 2), 0).xy;
}

// patches: along the strip, in lengths of one.
bool isPainted(Segment s, vec2 stuck, float patches) {
  return unitFromHash(hash3(uvec3(uint(int(floor(patches)) + 65536), uint(s.thread), 101u))).x < stuck.x;
}

// widthMm: of the section, along its layers. across: place in the layer, -chord..chord, in half widths.
MeshPlace meshAt(Segment s, vec4 more, vec2 stuck, int layer, float chord, float across, float widthMm, float along) {
  MeshPlace r = MeshPlace(0.0, vec2(1.0, 0.0), 0.0);
  float pitch = s.mesh.y;
  // Two and two layers lie folded about the edge that they share.
  int pair = layer / 2;
  vec3 shift = unitFromHash(hash3(uvec3(uint(s.thread), uint(pair), 89u)));
  float flip = 0.5 - float(layer & 1);
  float slant = LAYER_SLANT * (shift.z - 0.5);
  vec2 turned = vec2(1.0, slant) * inversesqrt(1.0 + slant * slant);
  mat2 slanted = mat2(turned.x, turned.y, -turned.y, turned.x);
  float begins = GOLDEN_STEP * float(s.thread);
  float lain = along + pitch * (fract(begins) + LAYER_SHIFT * shift.x);
  vec2 at = slanted * vec2(lain, flip * (across - chord) * widthMm + 53.0 * shift.y);
  vec2 hole = fromHole(s.mesh.x, at, pitch);
  if (more.z > 0.0) {
    float side = inversesqrt(more.z);
    ivec2 cell = ivec2(floor(at / side));
    vec3 u = unitFromHash(hash3(uvec3(uvec2(cell + 65536), uint(s.thread * 16 + pair))));
    vec2 away = at - (vec2(cell) + 0.5 + (u.xy - 0.5) * max(0.0, 1.0 - more.w / side)) * side;
    if (dot(away, away) < 0.25 * more.w * more.w) {
      float turn = MESH_TURN * u.z;
      return MeshPlace(MESH_GLITTER, vec2(cos(turn), sin(turn)), FLAKE_LEAN * (2.0 * fract(7.0 * u.z) - 1.0));
    }
  }
  // Patches end with whole holes, layer by layer elsewhere.
  bool painted = false;
  float gap = NEVER;
  if (stuck.x > 0.0) {
    ivec2 middle = ivec2(floor((at - hole) * (4.0 / pitch) + 0.5));
    vec2 u = unitFromHash(hash3(uvec3(uvec2(middle + 65536), 103u))).xy;
    painted = isPainted(s, stuck, along / stuck.y + begins + dot(RAGGED, vec2(u.y, shift.x) - 0.5));
    gap = GAP_GROWS * pitch * (u.x - FILLED_HOLES);
  }
  // The nearest of a hole's sides, of which each quarter has two.
  vec2 quarter = abs(hole);
  vec2 way = s.mesh.x > 1.5 ? vec2(0.0, 1.0) : vec2(0.5, 0.8660254);
  float most = dot(quarter, way);
  if (quarter.x > most) {
    most = quarter.x;
    way = vec2(1.0, 0.0);
  }
  r.across = (-sign(hole) * way) * slanted * vec2(1.0, 2.0 * flip);
  r.off = (pitch - 2.0 * most) / s.mesh.z;
  if (r.off < 1.0) {
    r.part = painted ? MESH_PAINT : MESH_BAR;
    r.off = min(MOST_ROUND, r.off);
  } else if (painted && length(hole) >= gap) {
    // A skin that sags between its bars, or has drawn back to them.
    r.part = MESH_PAINT;
    r.off = SKIN_LEAN * most / pitch;
  }
  return r;
}

float meshWidth(Segment s, vec2 upward, float u) {
  return 2.0 * length(vec2(upward.y, upward.x) * (s.section.xz + clamp(u, 0.0, 1.0) * s.section.yw));
}

#ifdef ANY_HIT
// To the light, layers of net are a medium: each that the ray crosses stands in its way by chance, as often as it covers. Windows
// are far wider than a hole as seen from the next layer, so that no hole throws a light of its own. Returns a place, or NEVER.
float meetMesh(Segment s, vec3 o, vec3 d, float uO, float uD, float lo, float hi, float t) {
  vec4 more = s.meshMore;
  SectionPlace p = sectionPlaceOnRay(s, o, d, uO, uD, t);
  // The chord of the section, which is a unit circle.
  float a = max(dot(p.dx, p.dx), 1e-12);
  float b = dot(p.x, p.dx);
  float disc = b * b - a * (dot(p.x, p.x) - 1.0);
  if (disc <= 0.0) return NEVER;
  float root = sqrt(disc);
  float t0 = max(lo, t + (-b - root) / a);
  float t1 = min(hi, t + (-b + root) / a);
  if (t0 >= t1) return NEVER;
  float along = o.x + 0.5 * (t0 + t1) * d.x;
  vec2 up = meshUpward(swayStart(s), more, along);
  vec2 levels = vec2(dot(up, p.x + (t0 - t) * p.dx), dot(up, p.x + (t1 - t) * p.dx));
  // A ray that begins in a layer has left it.
  if (t0 <= lo) levels.x += (levels.y > levels.x ? 0.5 : -0.5) / s.mesh.w;
  // Layers stand at odd numbers of 1 / layers.
  vec2 counted = floor(0.5 * (levels + 1.0) * s.mesh.w + 0.5);
  float crossed = (levels.y > levels.x ? 1.0 : -1.0) * (counted.y - counted.x);
  if (crossed <= 0.0) return NEVER;
  uvec3 word = uvec3(floatBitsToUint(o.y + t0 * d.y), floatBitsToUint(along), uint(s.thread) + 109u);
  // Layers 0 and 1 share an edge, 2 and 3, and so on.
  float folded = max(0.0, floor(0.5 * max(counted.x, counted.y)) - ceil(0.5 * min(counted.x, counted.y)));
  float passes = meshPasses(s.meshTexel, crossed, folded);
  return unitFromHash(hash3(word)).x < passes ? NEVER : 0.5 * (t0 + t1);
}
#else
// First t in (lo, hi) at which the ray meets a bar, a flake or paint, layer by layer; else NEVER. t: where it passes nearest to the
// middle of a straight section.
float meetMesh(Segment s, vec3 o, vec3 d, float uO, float uD, float lo, float hi, float t) {
  vec4 more = s.meshMore;
  vec2 stuck = meshPaint(s);
  float start = swayStart(s);
  int layers = int(s.mesh.w);
  float rate = 1.0;
  float level = 0.0;
  int number = -1;
  int last = 0;
  bool forward = true;
  bool again = false;
  // One look near the middle, and one or two at each layer: one place in the text for all.
  for (int k = 0; k < LOOP(2 * MAX_MESH_LAYERS + 1); k++) {
    if (number > last) break;
    int layer = forward ? number : layers - 1 - number;
    float wanted = layerLevel(layer, s.mesh.w);
    if (number >= 0) {
      if (!again) t += (wanted - level) / rate;
      if (t < lo - GUESS_MM || t > hi + GUESS_MM) {
        level = wanted;
        number++;
        again = false;
        continue;
      }
    }
    SectionPlace p = sectionPlaceOnRay(s, o, d, uO, uD, t);
    float along = o.x + t * d.x;
    vec2 up = meshUpward(start, more, along);
    rate = dot(up, p.dx);
    level = dot(up, p.x);
    if (abs(rate) < 1e-6) break;
    if (number == -1) {
      // The layers that the ray crosses within the section as it is seen from here, taken a little wider.
      float a = max(dot(p.dx, p.dx), 1e-12);
      float nearest = -dot(p.x, p.dx) / a;
      float span = abs(rate) * sqrt(max(0.0, MESH_WIDER - dot(p.x, p.x) + a * nearest * nearest) / a);
      forward = rate > 0.0;
      float ahead = (forward ? 1.0 : -1.0) * (level + nearest * rate);
      number = max(0, int(ceil(0.5 * ((ahead - span + 1.0) * s.mesh.w - 1.0))));
      last = min(layers - 1, int(floor(0.5 * ((ahead + span + 1.0) * s.mesh.w - 1.0))));
      continue;
    }
    float step = (wanted - level) / rate;
    if (!again && abs(step) > MOST_STEP_MM) {
      t += clamp(step, -GUESS_MM, GUESS_MM);
      again = true;
      continue;
    }
    again = false;
    number++;
    float at = t + step;
    if (at <= lo || at > hi || abs(step) > MOST_STEP_MM) continue;
    vec2 x = p.x + step * p.dx;
    if (dot(x, x) > 1.0) continue;
    float chord = sqrt(1.0 - wanted * wanted);
    along = o.x + at * d.x;
    float widthMm = meshWidth(s, up, (along - s.along) / s.pitch);
    float across = dot(vec2(up.y, -up.x), x);
    if (meshAt(s, more, stuck, layer, chord, across, widthMm, along).part > 0.0) return at;
  }
  return NEVER;
}
#endif
#endif
