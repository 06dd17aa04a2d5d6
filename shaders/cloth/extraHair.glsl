#include "../common/level.glsl"
#include "tube.glsl"
#include "extra.glsl"

#ifdef HAIR
// A turn or tail laid straight, so that its hair is what stands beside any stretch of its thread. Twin of the walk's part:
// src/engine/packing/walk/extraPiece.ts.
const float ENDLESS_MM = 1000.0;

// Place along its thread at the first point, mm; 1 with the thread's own sense, -1 against; how far its hair stands off, mm; 1
// where its thread goes on in another.
vec4 extraRun(int index) {
  return texelFetch(uExtraTable, tableAt(index * EXTRA_TEXELS + 3), 0);
}

// The extra's curve in the cloth's own heights.
Extra unscaled(Extra e) {
  vec3 heights = vec3(1.0, 1.0, 1.0 / e.scale);
  e.p0 *= heights;
  e.p1 *= heights;
  e.p2 *= heights;
  return e;
}

// Axes of the thread laid straight, where it runs along `way` in its own sense: along, level across, and square to both.
mat3 axesAlong(vec3 way, bool isWarp) {
  vec3 along = normalize(way);
  vec3 level = levelBeside(along);
  vec3 up = cross(along, level);
  return mat3(along, isWarp ? -level : level, up);
}

// A straight stretch of an extra's thread that ends nowhere.
Segment straightSegment(Extra e, float start) {
  Segment s;
  vec4 thread = threadTexel(e.owner);
  s.along = start - 0.5 * ENDLESS_MM;
  s.side = 0.0;
  s.pitch = ENDLESS_MM;
  s.o = vec4(0.0);
  s.z = vec4(0.0);
  s.wrap = vec2(0.0);
  s.section = vec4(e.radius, 0.0, e.radius / e.scale, 0.0);
  s.contact = thread.yz;
  s.hairTexel = int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL;
  s.hair = texelFetch(uMaterialTable, tableAt(s.hairTexel), 0);
  return s;
}

// As src/engine/packing/extraLength.ts.
float extraLength(Extra e) {
  float sum = 0.0;
  vec3 from = e.p0;
  for (int k = 0; k < LOOP(EXTRA_PIECES); k++) {
    vec3 to = extraPoint(e, float(k + 1) / float(EXTRA_PIECES));
    sum += length(to - from);
    from = to;
  }
  return sum;
}

// A place beside an extra that was told as beside its thread laid straight, `along` mm from the extra's first point; beyond its
// ends as beside its straight continuation.
vec3 besideExtra(Extra e, vec4 run, float along, vec2 beside) {
  float left = along;
  vec3 from = e.p0;
  float share = 0.0;
  for (int k = 0; k < LOOP(EXTRA_PIECES); k++) {
    share = float(k) / float(EXTRA_PIECES);
    vec3 to = extraPoint(e, share + 1.0 / float(EXTRA_PIECES));
    float piece = max(1e-9, length(to - from));
    bool last = k == EXTRA_PIECES - 1;
    if (left < piece || last) {
      share += left / (piece * float(EXTRA_PIECES));
      break;
    }
    left -= piece;
    from = to;
  }
  float within = clamp(share, 0.0, 1.0);
  vec3 way = extraTangent(e, within);
  vec3 at = extraPoint(e, within) + (share - within) * way;
  mat3 axes = axesAlong(run.y * way, (e.owner & 1) == 1);
  return at + axes * vec3(0.0, beside);
}

#ifdef HAIR_HITS
struct ExtraPiece {
  Segment s;
  mat3 axes;    // of the segment, in the cloth's
  vec3 o;       // the ray in the segment's axes
  vec3 d;
  vec2 span;    // of the ray, where it lies between the planes that end the piece
  int owner;
  float lengthMm;
};

// Of a ray's span, what lies before the plane (ahead: how far off it is, along its normal), or beyond it.
void cutSpan(inout vec2 span, float ahead, float rate, bool beyond) {
  float t = ahead / rate;
  if (beyond) span.x = max(span.x, t);
  else span.y = min(span.y, t);
}

// One of EXTRA_PIECES pieces, `before` mm from the first point. Planes square to the curve end it, so that a bend has no
// gaps; lattices run on from the cloth's.
ExtraPiece extraPiece(int index, vec4 run, int piece, float before, vec3 o, vec3 d, vec2 span) {
  ExtraPiece r;
  Extra e = unscaled(loadExtra(index));
  float from = float(piece) / float(EXTRA_PIECES);
  float to = from + 1.0 / float(EXTRA_PIECES);
  vec3 back = extraPoint(e, from) - o;
  vec3 left = extraPoint(e, to) - o;
  vec3 way = left - back;
  r.lengthMm = length(way);
  r.owner = e.owner;
  r.axes = axesAlong(run.y * way, (e.owner & 1) == 1);
  float start = run.x + run.y * before;
  r.s = straightSegment(e, start);
  r.o = vec3(start, 0.0, 0.0) - back * r.axes;
  r.d = d * r.axes;
  r.span = span;
  vec3 leaves = normalize(extraTangent(e, from));
  vec3 arrives = normalize(extraTangent(e, to));
  r.s.longer = ((leaves - arrives) * r.axes).yz / r.lengthMm;
  // A ray along a plane lies wholly on one side of it: never divided by 0, nor by -0.
  float rate = dot(d, leaves) + 1e-12;
  cutSpan(r.span, dot(back, leaves), rate, rate > 0.0);
  rate = dot(d, arrives) + 1e-12;
  cutSpan(r.span, dot(left, arrives), rate, rate < 0.0);
  return r;
}
#endif
#endif
