#include "hairCurve.glsl"

#ifdef HAIR

// Hair that stands off a thread's body. Twin, with the reasons: src/engine/packing/walk/intersectHair.ts, hairCurve.ts.
// A hair's own reach along a ray that leaves it: it is not met again there.
float hairClearMm = 0.0;

struct HairHit {
  float t;      // NEVER: none
  vec3 axis;    // in the segment's axes
  vec3 normal;
  float high;   // how high on the hair, 0..1
};

// Twice the radius of a thread's hairs, and a little.
float hairClearance(int thread) {
  int material = int(threadTexel(thread).w);
  return 2.2 * texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + HAIR_TEXEL), 0).w;
}

#ifdef HAIR_HITS
// Where the ray from + t rate comes nearest to the hair, if it meets it before hit.t and `until`; f: from where on it.
void meetHair(HairCurve c, vec3 from, vec3 rate, float radius, float taper, float until, float f, inout HairHit hit) {
  float dd = dot(rate, rate);
  for (int k = 0; k < LOOP(3); k++) {
    vec3 tangent = c.chord + 4.0 * (1.0 - 2.0 * f) * c.bow;
    vec3 gap = from - c.root - f * c.chord - 4.0 * f * (1.0 - f) * c.bow;
    if (k == 0) {
      vec3 n = cross(rate, tangent);
      float apart = dot(n, gap);
      float most = max(f, 1.0 - f);
      float near = radius + 4.0 * most * most * length(c.bow);
      if (apart * apart > near * near * dot(n, n)) return;
    }
    float b = dot(rate, tangent);
    f += (dd * dot(tangent, gap) - b * dot(rate, gap)) / max(dd * dot(tangent, tangent) - b * b, 1e-12);
    f = clamp(f, 0.0, 1.0);
  }
  vec3 gap = from - c.root - f * c.chord - 4.0 * f * (1.0 - f) * c.bow;
  float nearest = -dot(rate, gap) / dd;
  gap += nearest * rate;
  float thick = radius * (1.0 - taper * f);
  float off2 = dot(gap, gap);
  if (off2 >= thick * thick) return;
  float t = nearest - sqrt((thick * thick - off2) / dd);
  if (!(t > 0.0 && t < min(until, hit.t))) return;
  hit.t = t;
  hit.axis = normalize(c.chord + 4.0 * (1.0 - 2.0 * f) * c.bow);
  vec3 square = rate - dot(rate, hit.axis) * hit.axis;
  hit.normal = gap / thick - square * sqrt((1.0 - off2 / (thick * thick)) / max(dot(square, square), 1e-12));
  hit.high = f;
}

// First hair of a thread (row * 2, or end * 2 + 1) that the ray meets within the segment's own range at t in (tMin, tMax).
HairHit intersectHair(int thread, Segment s, vec3 o, vec3 d, float tMin, float tMax) {
  HairHit hit = HairHit(NEVER, vec3(1.0, 0.0, 0.0), vec3(0.0, 0.0, 1.0), 0.0);
  float shell = s.hair.x;
  float radius = s.hair.w;
  float uO = (o.x - s.along) / s.pitch;
  float uD = d.x / s.pitch;
  float lo = tMin;
  float hi = tMax;
  if (abs(uD) < 1e-7) {
    if (uO < 0.0 || uO > 1.0) return hit;
  } else {
    float t0 = -uO / uD;
    float t1 = (1.0 - uO) / uD;
    lo = max(lo, min(t0, t1));
    hi = min(hi, max(t0, t1));
  }
  if (lo >= hi) return hit;
  float dO = s.o.y + s.o.z + s.o.w;
  float dZ = s.z.y + s.z.z + s.z.w;
  vec2 slack = vec2(
    abs(s.o.y - dO) + abs(s.o.y + 2.0 * s.o.z + 3.0 * s.o.w - dO),
    abs(s.z.y - dZ) + abs(s.z.y + 2.0 * s.z.z + 3.0 * s.z.w - dZ)
  );
  vec2 bound = s.section.xz + max(vec2(0.0), s.section.yw) + shell + radius + (4.0 / 27.0) * slack;
  bound.y += max(abs(s.wrap.x), abs(s.wrap.x + s.wrap.y)) / 16.0;
  vec2 off = vec2(o.y - s.o.x - dO * uO, o.z - s.z.x - dZ * uO) / bound;
  vec2 drift = vec2(d.y - dO * uD, d.z - dZ * uD) / bound;
  float ca = dot(drift, drift);
  float cb = dot(off, drift);
  float cc = dot(off, off) - 1.0;
  float disc = cb * cb - ca * cc;
  if (disc < 0.0) return hit;
  if (ca > 1e-10) {
    float root = sqrt(disc);
    lo = max(lo, (-cb - root) / ca);
    hi = min(hi, (-cb + root) / ca);
  } else if (cc > 0.0) {
    return hit;
  }
  if (!(hi - lo > 1e-6)) return hit;

  // Beside the centre line the ray is straight from end to end; times count from lo.
  float uLo = uO + lo * uD;
  float uHi = uO + hi * uD;
  float span = hi - lo;
  vec3 from = o + lo * d - vec3(0.0, centreBeside(s, uLo));
  vec3 rate = vec3(d.x, (o.yz + hi * d.yz - centreBeside(s, uHi) - from.yz) / span);
  float middle = clamp(0.5 * (uLo + uHi), 0.0, 1.0);
  vec2 size = sizeAt(s, middle);
  vec4 kept = texelFetch(uMaterialTable, tableAt(s.hairTexel + 1), 0);
  vec4 lattice = texelFetch(uMaterialTable, tableAt(s.hairTexel + 2), 0);
  float sides = texelFetch(uMaterialTable, tableAt(s.hairTexel + 3), 0).w;
  float squash = squashOf(s, size, lattice.w);
  float cellMm = lattice.x;
  int hairs = int(kept.x);
  int perLayer = int(kept.y);
  int sectors = int(kept.z);
  bool isLoop = kept.w == FORM_LOOP;
  bool isEdge = kept.w == FORM_EDGE;
  // A loop has two legs; a wound strand goes aslant through its cells, as wide as they are, so that those beside reach in.
  int legs = kept.w == FORM_WOUND ? 6 : isLoop ? 2 : 1;
  float sector = WHOLE_TURN / kept.z;
  float cross2 = max(dot(rate.yz, rate.yz), 1e-12);
  float nearest = -dot(from.yz, rate.yz) / cross2;
  float sizeMost = max(size.x, size.y) + radius;
  // How near the ray's line comes to the centre line; which way round it goes.
  float swings = from.y * rate.z - from.z * rate.y;
  float passes2 = swings * swings / cross2;
  float cosSector = cos(sector);
  float sinSector = swings > 0.0 ? sin(sector) : -sin(sector);

  int layers = int(s.hair.y);
  int layer = -1;
  bool fresh = true;
  int first = 0;
  float shift = 0.0;
  vec2 firstSide = vec2(1.0, 0.0);
  int sectorHere = 0;
  int cell = 0;
  float t = 0.0;
  float until = span;
  for (int k = 0; k < LOOP(MAX_HAIR_LOOKS); k++) {
    if (fresh) {
      layer++;
      if (layer >= layers) break;
      fresh = false;
      // Lattices hold hairs of their own heights, the tallest first: where the ray passes one further off, it passes the rest.
      first = hairs + layer * perLayer * 3;
      float within = sizeMost + texelFetch(uMaterialTable, tableAt(first), 0).y * squash;
      float chord2 = (within * within - passes2) / cross2;
      if (chord2 <= 0.0) break;
      t = max(0.0, nearest - sqrt(chord2));
      until = min(span, nearest + sqrt(chord2));
      if (t >= min(until, hit.t)) break;
      vec3 u = unitFromHash(hash3(uvec3(uint(thread), uint(layer), LATTICE_WORD)));
      shift = u.x * cellMm;
      float turn = WHOLE_TURN * (isEdge ? -0.25 : u.y);
      vec3 at = from + t * rate;
      sectorHere = int(floor((atan(at.z, at.y) - turn) / sector));
      float angle = turn + sector * float(sectorHere);
      firstSide = vec2(cos(angle), sin(angle));
      cell = int(floor((at.x - shift) / cellMm));
    }
    float end = shift + float(rate.x > 0.0 ? cell + 1 : cell) * cellMm;
    float ts = abs(rate.x) > 1e-7 ? (end - from.x) / rate.x : NEVER;
    // Where the ray leaves the sector: through its second side if it goes forwards, else through its first.
    vec2 onward = vec2(firstSide.x * cosSector - firstSide.y * sinSector, firstSide.x * sinSector + firstSide.y * cosSector);
    vec2 side = swings > 0.0 ? onward : firstSide;
    float closing = side.x * rate.z - side.y * rate.y;
    float ta = NEVER;
    if (abs(closing) > 1e-12) {
      float at = (side.y * from.y - side.x * from.z) / closing;
      if (at >= t && dot(side, from.yz + at * rate.yz) > 0.0) ta = at;
    }
    float next = min(min(until, hit.t), min(ts, ta));
    int sectorWord = sectorAround(sectorHere, sectors);
    vec3 u = unitFromHash(hash3(uvec3(uint(thread), uint(layer * 64 + sectorWord), uint(cell))));
    float chance = lattice.y * crowdAt(sides, atan(firstSide.y, firstSide.x) + 0.5 * sector, shift + (float(cell) + 0.5) * cellMm);
    // Outside a bend as many hairs of an edge stand over more length, inside over less.
    float longer = isEdge ? 1.0 + dot(s.longer, from.yz + 0.5 * (t + next) * rate.yz) : 1.0;
    if (longer * u.z < chance) {
      int texel = first + 3 * int(u.x * float(perLayer));
      vec4 root = texelFetch(uMaterialTable, tableAt(texel), 0);
      vec2 close = from.yz + clamp(nearest, t, next) * rate.yz;
      float most = sizeMost + root.y * squash;
      if (dot(close, close) < most * most) {
        float start = shift + float(cell) * cellMm;
        HairCurve c = placeHair(texel, root, start, firstSide, size, squash, isEdge);
        for (int leg = 0; leg < LOOP(6); leg++) {
          if (leg >= legs) break;
          if (legs == 6 && (leg & 1) == 0) c.root.x += leg == 0 ? -cellMm : cellMm;
          meetHair(c, from, rate, radius * length(root.zw), lattice.z, span, legs > 1 ? 0.15 + 0.7 * float(leg & 1) : 0.5, hit);
        }
      }
    }
    fresh = next >= min(until, hit.t);
    t = next;
    if (next == ts) cell += rate.x > 0.0 ? 1 : -1;
    if (next == ta) {
      sectorHere += swings > 0.0 ? 1 : -1;
      firstSide = onward;
    }
  }
  if (isLoop) hit.high = 4.0 * hit.high * (1.0 - hit.high);
  if (hit.t >= span) return hit;
  // Met beside the thread laid straight; in the cloth what runs along it rises as it does.
  vec2 slope = tubePointAt(s, uLo + hit.t * uD).slope;
  hit.axis = normalize(hit.axis + vec3(0.0, slope * hit.axis.x));
  hit.normal = normalize(hit.normal - vec3(dot(slope, hit.normal.yz), 0.0, 0.0));
  hit.t += lo;
  return hit;
}
#endif
#endif
