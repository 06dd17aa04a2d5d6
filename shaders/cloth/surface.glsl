#include "../common/encode.glsl"
#include "tube.glsl"
#include "extra.glsl"
#include "hair.glsl"

// The surface met by a ray, as the picture buffer keeps it. Twin of the normal: walk/surface.ts.
struct Surface {
  vec3 normal;
  vec3 axis;    // along the thread, in its own sense
  float swell;  // section here over the contact section, mean of width and height
};

Surface surfaceOfExtra(int index, vec3 at) {
  Surface r;
  Extra e = loadExtra(index);
  float share = shareOnExtra(e, vec3(at.xy, at.z * e.scale));
  vec3 tangent = extraTangent(e, share);
  bool isWarp = (e.owner & 1) == 1;
  r.normal = extraNormal(e, share, at);
  r.axis = normalize(vec3(tangent.xy, tangent.z / e.scale));
  // A thread's end runs out of the cloth, against or with the thread's own sense.
  if ((isWarp ? r.axis.y : r.axis.x) < 0.0) r.axis = -r.axis;
  r.swell = 1.0;
  return r;
}

#ifdef HAIR_HITS
// Where the ray met a hair: its own normal and direction; how high on it stands for the swell.
Surface surfaceOfHair(int kind, HairHit hair) {
  bool isWarp = kind == KIND_WARP;
  return Surface(
    isWarp ? hair.normal.yxz : hair.normal,
    isWarp ? hair.axis.yxz : hair.axis,
    hairSwell(hair.high)
  );
}
#endif

// Where the ray met the thread's segment in a cell along it.
Surface surfaceOfThread(int kind, int index, int cell, vec3 at) {
  Surface r;
  bool isWarp = kind == KIND_WARP;
  r.normal = vec3(0.0, 0.0, 1.0);
  r.axis = isWarp ? vec3(0.0, 1.0, 0.0) : vec3(1.0, 0.0, 0.0);
  r.swell = 1.0;
  Segment s;
  float lo = isWarp ? lineY(cell) : endX(cell);
  float hi = isWarp ? lineY(cell + 1) : endX(cell + 1);
  if (!loadSegment(kind, index, cell, lo, hi, s)) return r;
  vec2 beside = vec2((isWarp ? at.x : at.y) - s.side, at.z);
  float u = ((isWarp ? at.y : at.x) - s.along) / s.pitch;
  float ahead;
  TubePoint p = footPoint(s, u, beside, ahead);
  float foot = (ahead + dot(beside - p.centre, p.slope)) / (1.0 + dot(p.slope, p.slope));
  TubePoint q = tubePointAt(s, u + (foot - ahead) / s.pitch);
  // The place lies this far beyond the foot, along the thread.
  float beyond = ahead - foot;
  // Frame of the section at the foot: tangent, level axis, and square to both.
  float level2 = 1.0 + q.slope.x * q.slope.x;
  vec3 tangent = vec3(1.0, q.slope) * inversesqrt(1.0 + dot(q.slope, q.slope));
  vec3 level = vec3(-q.slope.x, 1.0, 0.0) * inversesqrt(level2);
  vec3 upright = cross(tangent, level);
#ifdef MESH
  bool mesh = s.mesh.x > 0.5;
  vec2 x = vec2(0.0);
  vec3 local = (isWarp ? at.yxz : at.xyz) - vec3(0.0, s.side, 0.0);
#ifdef SIDEWAYS
  if (mesh) x = sectionAt(p, ahead, beside, 0.0, vec2(0.0)).x;
#else
  if (mesh) x = sectionPlaceOnRay(s, local, vec3(0.0), u, 0.0, 0.0).x;
#endif
  if (mesh && dot(x, x) > CORE_EDGE * s.meshMore.x * s.meshMore.x) {
    // The layer that the place lies on: it was met there.
    vec2 up = meshUpward(swayStart(s), s.meshMore, local.x);
    int layer = int(clamp(floor((dot(up, x) + 1.0) * 0.5 * s.mesh.w), 0.0, s.mesh.w - 1.0));
    float wanted = layerLevel(layer, s.mesh.w);
    float chord = sqrt(1.0 - wanted * wanted);
    float widthMm = meshWidth(s, up, u);
    MeshPlace m = meshAt(s, s.meshMore, meshPaint(s), layer, chord, dot(vec2(up.y, -up.x), x), widthMm, local.x);
    vec3 outward = normalize(up.x / q.size.x * level + up.y / q.size.y * upright);
    vec3 across = normalize(up.y * q.size.x * level - up.x * q.size.y * upright);
    vec3 way = m.across.x * tangent + m.across.y * across;
    vec3 facing = m.off * way + sqrt(1.0 - m.off * m.off) * outward;
    vec3 bar = normalize(cross(outward, way));
    r.normal = isWarp ? facing.yxz : facing;
    r.axis = isWarp ? bar.yxz : bar;
    r.swell = max(m.part, MESH_BAR);
    return r;
  }
#endif
  vec3 away = vec3(beyond, beside - q.centre);
  vec2 flank = vec2(dot(away, level), dot(away, upright)) / (q.size * q.size);
  // A section that grows along the thread leans its surface back.
  float taper = dot(flank * flank * q.size, q.sizeSlope);
  vec3 normal = normalize(flank.x * level + flank.y * upright - taper * tangent);
  r.normal = isWarp ? normal.yxz : normal;
  r.axis = isWarp ? tangent.yxz : tangent;
  r.swell = bodySwell((q.size.x + q.size.y) / (s.contact.x + s.contact.y));
#ifdef MESH
  if (mesh) r.swell = MESH_CORE;
#endif
  return r;
}

// Of what a ray met that is no hair.
Surface surfaceAt(int kind, int index, int cell, vec3 at) {
  if (kind == KIND_EXTRA) return surfaceOfExtra(index, at);
  return surfaceOfThread(kind, index, cell, at);
}
