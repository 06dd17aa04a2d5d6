#include "buffers.glsl"

// One thread between two nodes; src/engine/packing/walk/tubeSegment.ts is its twin.
struct Segment {
  float along;   // start along the thread, mm
  float side;    // position of the thread, mm
  float pitch;   // mm
  vec4 o;        // sideways offset: cubic in u
  vec4 z;        // height: cubic in u
  vec2 wrap;     // start, change
  vec4 section;  // half width and its change, half height and its change
  vec2 contact;  // half width and half height where it is pressed
#ifdef TIGHT
  bool tight;    // it bends about as tightly as it is thick, or more
#endif
#ifdef MESH
  vec4 mesh;      // shape (0: closed), pitch, bar mm, layers
  vec4 meshMore;  // share of the section within it, sways per mm, glitter to a mm2, its diameter mm
  int meshTexel;  // where it begins in the material table
  int thread;     // row * 2, or end * 2 + 1
#ifdef ANY_HIT
  bool ownNet;    // the ray begins on it
#endif
#endif
#ifdef HAIR
  vec4 hair;      // height (0: none), lattices, core share, radius at the root; the sections above are the core's
  int hairTexel;  // where it begins in the material table
#ifdef HAIR_HITS
  vec2 longer;    // sideways and up, a mm: by how much longer than on its line, where it stands for a piece of a bend
#endif
#endif
};

// Centre line at a point of a segment, slopes and bends per mm, and semi-axes with their slopes.
struct TubePoint {
  vec2 centre;   // sideways, up
  vec2 slope;
  vec2 bend;
  vec2 size;     // half width, half height
  vec2 sizeSlope;
};

TubePoint tubePointAt(Segment s, float u) {
  TubePoint p;
  float perMm = 1.0 / s.pitch;
  float q = u * (1.0 - u);
  float q1 = 1.0 - 2.0 * u;
  float wrap = s.wrap.x + u * s.wrap.y;
  p.centre = vec2(
    s.o.x + u * (s.o.y + u * (s.o.z + u * s.o.w)),
    s.z.x + u * (s.z.y + u * (s.z.z + u * s.z.w)) + q * q * wrap
  );
  p.slope = perMm * vec2(
    s.o.y + u * (2.0 * s.o.z + 3.0 * u * s.o.w),
    s.z.y + u * (2.0 * s.z.z + 3.0 * u * s.z.w) + 2.0 * q * q1 * wrap + q * q * s.wrap.y
  );
  p.bend = perMm * perMm * vec2(
    2.0 * s.o.z + 6.0 * u * s.o.w,
    2.0 * s.z.z + 6.0 * u * s.z.w + (2.0 * q1 * q1 - 4.0 * q) * wrap + 4.0 * q * q1 * s.wrap.y
  );
  float within = clamp(u, 0.0, 1.0);
  p.size = s.section.xz + within * within * (3.0 - 2.0 * within) * s.section.yw;
  p.sizeSlope = 6.0 * within * (1.0 - within) * perMm * s.section.yw;
  return p;
}

#ifndef SIDEWAYS
// Height, slope and bend per mm of a thread that keeps to its own line: tubePointAt with all that is 0 there left out.
struct LinePoint {
  float z;
  float slope;
  float bend;
};

LinePoint linePointAt(Segment s, float u) {
  float perMm = 1.0 / s.pitch;
  float q = u * (1.0 - u);
  float q1 = 1.0 - 2.0 * u;
  float wrap = s.wrap.x + u * s.wrap.y;
  return LinePoint(
    s.z.x + u * (s.z.y + u * (s.z.z + u * s.z.w)) + q * q * wrap,
    perMm * (s.z.y + u * (2.0 * s.z.z + 3.0 * u * s.z.w) + q * (2.0 * q1 * wrap + q * s.wrap.y)),
    perMm * perMm * (2.0 * s.z.z + 6.0 * u * s.z.w + (2.0 * q1 * q1 - 4.0 * q) * wrap + 4.0 * q * q1 * s.wrap.y)
  );
}
#endif

// Where a wrap turns the bend at its node round, no more than WRAP_SHARE of it.
float limitedWrap(float wrap, float bend) {
  return wrap * bend < 0.0 ? sign(wrap) * min(abs(wrap), WRAP_SHARE * abs(bend)) : wrap;
}

// Half the section over the radius of the tightest bend: at the nodes and half way.
float tightness(Segment s) {
  float end = s.wrap.x + s.wrap.y;
  vec2 size = s.section.xz + max(vec2(0.0), s.section.yw);
  float bendZ = max(max(abs(s.z.z + s.wrap.x), abs(s.z.z + 3.0 * s.z.w + end)), abs(s.z.z + 1.5 * s.z.w - 0.25 * (s.wrap.x + end)));
  float bendO = max(abs(s.o.z), abs(s.o.z + 3.0 * s.o.w));
  return 2.0 * max(bendO * size.x, bendZ * size.y) / (s.pitch * s.pitch);
}

// Twin: settleBend in walk/tubeSegment.ts.
void settleBend(inout Segment s) {
  bool tight = tightness(s) > TIGHT_BEND;
  if (tight) {
    float end = limitedWrap(s.wrap.x + s.wrap.y, s.z.z + 3.0 * s.z.w);
    s.wrap.x = limitedWrap(s.wrap.x, s.z.z);
    s.wrap.y = end - s.wrap.x;
  }
#ifdef TIGHT
  s.tight = tight && tightness(s) > TIGHT_BEND;
#endif
}

float signedByte(uint word, uint shift) {
  int value = int((word >> shift) & 255u);
  return float(value > 127 ? value - 256 : value);
}

vec4 cubicOf(float v0, float s0, float v1, float s1, float pitch) {
  float change = v1 - v0;
  float m0 = s0 * pitch;
  float m1 = s1 * pitch;
  return vec4(v0, m0, 3.0 * change - 2.0 * m0 - m1, m0 + m1 - 2.0 * change);
}

// Thread (end or row) `index` in the cell whose near and far sides along it lie at lo and hi. False where it is absent.
bool loadSegment(int kind, int index, int cell, float lo, float hi, out Segment s) {
  s.along = lo;
  s.pitch = hi - lo;
  if (!(s.pitch > 1e-5)) return false;
  vec4 thread;
  uvec3 n0;
  uvec3 n1;
  if (kind == KIND_WARP) {
    thread = texelFetch(uEndTable, tableAt(index * THREAD_TEXELS), 0);
    n0 = texelFetch(uWarpNodes, nodeAt(rowOnLine(cell, index, index), index), 0).xyz;
    n1 = texelFetch(uWarpNodes, nodeAt(rowOnLine(cell + 1, index, index), index), 0).xyz;
  } else {
    // All at once, so that the fetches overlap; absence is rare.
    vec2 span = vec2(-1.0, NEVER);
    if (uPartialRows != 0) span = texelFetch(uRowTable, tableAt(index * THREAD_TEXELS + 1), 0).xy;
    thread = texelFetch(uRowTable, tableAt(index * THREAD_TEXELS), 0);
    n0 = texelFetch(uWeftNodes, nodeAt(index, cell), 0).xyz;
    n1 = texelFetch(uWeftNodes, nodeAt(index, cell + 1), 0).xyz;
    if (float(cell) < span.x || float(cell + 1) > span.y) return false;
  }
  // Cut away after the loom.
  if ((n0.z & 255u) == uint(GONE_BYTE)) return false;
  s.side = thread.x;
  s.contact = thread.yz;
  vec2 z0 = unpackHalf2x16(n0.x);
  vec2 z1 = unpackHalf2x16(n1.x);
  s.z = cubicOf(z0.x, z0.y, z1.x, z1.y, s.pitch);
#ifdef SIDEWAYS
  vec2 o0 = unpackHalf2x16(n0.y);
  vec2 o1 = unpackHalf2x16(n1.y);
  s.o = cubicOf(o0.x, o0.y, o1.x, o1.y, s.pitch);
#else
  s.o = vec4(0.0);
#endif
  float wrapStart = signedByte(n0.z, 0u) * uWrapScaleMm / WRAP_STEPS;
  float wrapEnd = signedByte(n0.z, 8u) * uWrapScaleMm / WRAP_STEPS;
  s.wrap = vec2(wrapStart, wrapEnd - wrapStart);
  vec2 steps = thread.yz / SECTION_STEPS;
  vec2 size0 = steps * vec2(float((n0.z >> 16u) & 255u), float(n0.z >> 24u));
  vec2 size1 = steps * vec2(float((n1.z >> 16u) & 255u), float(n1.z >> 24u));
  s.section = vec4(size0.x, size1.x - size0.x, size0.y, size1.y - size0.y);
#ifdef MESH
  s.meshTexel = int(thread.w) * MATERIAL_TEXELS + MESH_TEXEL;
  s.mesh = texelFetch(uMaterialTable, tableAt(s.meshTexel), 0);
  s.meshMore = texelFetch(uMaterialTable, tableAt(s.meshTexel + 1), 0);
#ifdef ANY_HIT
  s.ownNet = false;
#endif
  s.thread = index * 2 + (kind == KIND_WARP ? 1 : 0);
#endif
#ifdef HAIR
  s.hairTexel = int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL;
  s.hair = texelFetch(uMaterialTable, tableAt(s.hairTexel), 0);
#ifdef HAIR_HITS
  s.longer = vec2(0.0);
#endif
  if (showsHair(s.hair)) {
    // Wire is as thick wherever it is pressed.
    if (s.hair.z < 0.0) s.section = vec4(s.contact, 0.0, 0.0).xzyz;
    s.section *= abs(s.hair.z);
  } else s.hair.x = 0.0;
#endif
  settleBend(s);
  return true;
}
