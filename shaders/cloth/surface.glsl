#include "tube.glsl"
#include "extra.glsl"

// What shading needs of the surface met. Twin of the normal: walk/surface.ts.
struct Surface {
  vec3 normal;
  vec3 axis;      // along the thread
  float around;   // angle about the axis, growing as a right-handed screw turns
  float along;    // mm along the thread
  vec2 halfSize;  // semi-axes, mm
  int material;
  int thread;     // kind and index of the thread itself, also for its ends
};

Surface surfaceAt(int kind, int index, vec3 at) {
  Surface r;
  if (kind == KIND_EXTRA) {
    Extra e = loadExtra(index);
    vec3 scaled = vec3(at.xy, at.z * e.scale);
    float share = 0.0;
    float nearest = NEVER;
    for (int k = 0; k <= LOOP(EXTRA_PIECES); k++) {
      float s = float(k) / float(EXTRA_PIECES);
      vec3 away = scaled - extraPoint(e, s);
      if (dot(away, away) < nearest) {
        nearest = dot(away, away);
        share = s;
      }
    }
    share = nearestOnExtra(e, share, scaled);
    vec3 away = scaled - extraPoint(e, share);
    vec3 tangent = extraTangent(e, share);
    bool isWarp = (e.owner & 1) == 1;
    r.normal = normalize(vec3(away.xy, away.z * e.scale));
    r.axis = normalize(vec3(tangent.xy, tangent.z / e.scale));
    // A thread's end runs out of the cloth, against or with the thread's own sense.
    float sense = (isWarp ? r.axis.y : r.axis.x) < 0.0 ? -1.0 : 1.0;
    r.axis *= sense;
    vec3 acrossAxis = isWarp ? vec3(-1.0, 0.0, 0.0) : vec3(0.0, 1.0, 0.0);
    vec3 across = normalize(cross(cross(r.axis, acrossAxis), r.axis));
    r.around = atan(dot(r.normal, cross(r.axis, across)), dot(r.normal, across));
    r.along = (isWarp ? e.p0.y : e.p0.x) + sense * share * length(tangent);
    r.halfSize = vec2(e.radius, e.radius / e.scale);
    int owner = e.owner >> 1;
    r.thread = e.owner;
    vec4 thread = isWarp
      ? texelFetch(uEndTable, tableAt(owner * THREAD_TEXELS), 0)
      : texelFetch(uRowTable, tableAt(owner * THREAD_TEXELS), 0);
    r.material = int(thread.w);
    return r;
  }
  bool isWarp = kind == KIND_WARP;
  int last = (isWarp ? uCount.z : uCount.x) - 2;
  int cell = clamp(cellAt(!isWarp, isWarp ? at.y : at.x), 0, max(last, 0));
  float lo = isWarp ? lineYOrBeyond(cell) : endXOrBeyond(cell);
  float hi = isWarp ? lineYOrBeyond(cell + 1) : endXOrBeyond(cell + 1);
  Segment s;
  vec4 thread = isWarp
    ? texelFetch(uEndTable, tableAt(index * THREAD_TEXELS), 0)
    : texelFetch(uRowTable, tableAt(index * THREAD_TEXELS), 0);
  r.material = int(thread.w);
  r.thread = index * 2 + (isWarp ? 1 : 0);
  r.along = isWarp ? at.y : at.x;
  r.normal = vec3(0.0, 0.0, 1.0);
  r.axis = isWarp ? vec3(0.0, 1.0, 0.0) : vec3(1.0, 0.0, 0.0);
  r.around = 0.0;
  r.halfSize = thread.yz;
  if (!loadSegment(kind, index, cell, lo, hi, s)) return r;
  vec2 beside = vec2((isWarp ? at.x : at.y) - s.side, at.z);
  float u = (r.along - s.along) / s.pitch;
  TubePoint p = tubePointAt(s, u);
  float foot = dot(beside - p.centre, p.slope) / (1.0 + dot(p.slope, p.slope));
  TubePoint q = tubePointAt(s, u + foot / s.pitch);
  // Frame of the section at the foot: tangent, level axis, and square to both.
  float level2 = 1.0 + q.slope.x * q.slope.x;
  vec3 tangent = vec3(1.0, q.slope) * inversesqrt(1.0 + dot(q.slope, q.slope));
  vec3 level = vec3(-q.slope.x, 1.0, 0.0) * inversesqrt(level2);
  vec3 upright = cross(tangent, level);
  vec3 away = vec3(-foot, beside - q.centre);
  vec2 round = vec2(dot(away, level), dot(away, upright)) / q.size;
  vec2 flank = round / q.size;
  // A section that grows along the thread leans its surface back.
  float taper = dot(flank * round, q.sizeSlope);
  vec3 normal = normalize(flank.x * level + flank.y * upright - taper * tangent);
  r.normal = isWarp ? normal.yxz : normal;
  r.axis = isWarp ? tangent.yxz : tangent;
  // Warp runs along y, so its right-handed frame has -x across.
  r.around = atan(round.y, isWarp ? -round.x : round.x);
  r.halfSize = q.size;
  return r;
}
