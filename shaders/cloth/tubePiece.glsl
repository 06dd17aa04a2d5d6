// Where a piece of a segment begins or ends along a ray: how far the ray is off the centre line, and that line's slopes and bends.
#ifdef SIDEWAYS
struct PieceEnd {
  vec2 away;
  vec2 slope;
  vec2 bend;
};

PieceEnd pieceEnd(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
  TubePoint p = tubePointAt(s, uO + t * uD);
  return PieceEnd(o.yz + t * d.yz - p.centre, p.slope, abs(p.bend));
}

// Shares of a piece between which the ray may meet it, and a guess where; from >= to where it does not: a straight tube about
// the chord, wide enough for the curve between. size: the greatest semi-axes. Twin and reasons: walk/tubePiece.ts.
vec3 pieceSpan(PieceEnd a, PieceEnd b, vec2 size, vec3 d, float stepT) {
  float along = stepT * d.x;
  vec2 change = b.away - a.away;
  vec2 centre = stepT * d.yz - change;
  vec2 off = (4.0 / 27.0) * (abs(a.slope * along - centre) + abs(b.slope * along - centre));
  vec2 half2 = abs(along) > 1e-6 ? abs(1.5 * centre / along - 0.25 * (a.slope + b.slope)) : vec2(0.0);
  vec2 steep = max(max(abs(a.slope), abs(b.slope)), half2);
  steep *= steep;
  float grade = 1.0 + steep.x + steep.y;
  vec2 tall = size * sqrt(vec2(1.0 + steep.x, grade));
  vec2 bent = min(BEND_SHARE * size, 0.5 * dot(steep, size * size) / grade * max(a.bend, b.bend));
  vec2 bound = 1.0 / (1.02 * tall + off + bent);
  vec2 from = a.away * bound;
  vec2 rate = change * bound;
#else
struct PieceEnd {
  vec2 away;
  float slope;
  float bend;
};

PieceEnd pieceEnd(Segment s, vec3 o, vec3 d, float uO, float uD, float t) {
  LinePoint p = linePointAt(s, uO + t * uD);
  return PieceEnd(vec2(o.y + t * d.y, o.z + t * d.z - p.z), p.slope, abs(p.bend));
}

// Shares of a piece between which the ray may meet it, and a guess where; from >= to where it does not: a straight tube about
// the chord, wide enough for the curve between. size: the greatest semi-axes. Twin and reasons: walk/tubePiece.ts.
vec3 pieceSpan(PieceEnd a, PieceEnd b, vec2 size, vec3 d, float stepT) {
  float along = stepT * d.x;
  vec2 change = b.away - a.away;
  float centre = stepT * d.z - change.y;
  float off = (4.0 / 27.0) * (abs(a.slope * along - centre) + abs(b.slope * along - centre));
  float half2 = abs(along) > 1e-6 ? abs(1.5 * centre / along - 0.25 * (a.slope + b.slope)) : 0.0;
  float steep = max(max(abs(a.slope), abs(b.slope)), half2);
  steep *= steep;
  float grade = 1.0 + steep;
  vec2 tall = vec2(size.x, size.y * sqrt(grade));
  float bent = min(BEND_SHARE * size.y, 0.5 * steep * size.y * size.y / grade * max(a.bend, b.bend));
  vec2 bound = 1.0 / (1.02 * tall + vec2(0.0, off + bent));
  vec2 from = a.away * bound;
  vec2 rate = change * bound;
#endif
  float ca = dot(rate, rate);
  float cb = dot(from, rate);
  float cc = dot(from, from) - 1.0;
  float disc = cb * cb - ca * cc;
  if (disc < 0.0 || (ca < 1e-12 && cc > 0.0)) return vec3(1.0, 0.0, 0.0);
  float per = 1.0 / max(ca, 1e-12);
  float root = sqrt(disc);
  vec2 ends = clamp(vec2(-cb - root, root - cb) * per, 0.0, 1.0);
#ifdef ANY_HIT
  float guess = 0.5 * (ends.x + ends.y);
#else
  // Without what the bound is wider than the section.
  float bare = min(tall.x * bound.x, tall.y * bound.y);
  float guess = clamp((-cb - sqrt(max(0.0, disc - ca * (1.0 - bare * bare)))) * per, ends.x, ends.y);
#endif
  return vec3(ends, guess);
}
