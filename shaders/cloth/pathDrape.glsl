// The cloth over the edge of a cylinder that lies along the wefts: flat above it, bent round it, hanging from it, in panels
// that turn alike at each joint. Within a panel rays are straight in the cloth's own flat space as well, so that the walk is
// the same. Twin and reasons: src/engine/packing/walk/drape.ts.
#ifdef DRAPE
uniform highp vec4 uDrape;  // the axis: y in the flat cloth, mm; depth below its middle, mm; turn at a joint, rad; joints

// Sides of panels are taken this much wider, so that a touch at a joint is not lost to rounding.
const float JOINT_SLACK_MM = 1e-3;

struct Panel {
  vec2 turn;      // cosine and sine of its turn
  float footMm;   // y of the flat cloth that lies nearest to the axis
};

Panel panelAt(int k) {
  float turn = float(k) * uDrape.z;
  return Panel(vec2(cos(turn), sin(turn)), uDrape.x - float(k) * 2.0 * uDrape.y * tan(0.5 * uDrape.z));
}

vec3 directionInto(Panel f, vec3 d) {
  return vec3(d.x, dot(d.yz, f.turn), dot(d.yz, vec2(-f.turn.y, f.turn.x)));
}

vec3 directionOutOf(Panel f, vec3 d) {
  return vec3(d.x, dot(d.yz, vec2(f.turn.x, -f.turn.y)), dot(d.yz, f.turn.yx));
}

vec3 placeInto(Panel f, vec3 p) {
  return directionInto(f, p - vec3(0.0, uDrape.x, -uDrape.y)) + vec3(0.0, f.footMm, -uDrape.y);
}

vec3 placeOutOf(Panel f, vec3 p) {
  return directionOutOf(f, p - vec3(0.0, f.footMm, -uDrape.y)) + vec3(0.0, uDrape.x, -uDrape.y);
}

// The part of a ray, in the k-th panel's space, that lies between its joints; none where the first is not below the second.
vec2 partWithin(int k, Panel f, vec3 o, vec3 d, float tMin, float tMax) {
  float slope = tan(0.5 * uDrape.z);
  vec2 part = vec2(tMin, tMax);
  for (int side = 0; side < LOOP(2); side++) {
    if (side == 0 ? k == 0 : k == int(uDrape.w)) continue;
    float outwards = side == 0 ? 1.0 : -1.0;
    float inside = slope * (o.z + uDrape.y) - outwards * (o.y - f.footMm);
    float rate = slope * d.z - outwards * d.y;
    if (abs(rate) < 1e-9) {
      if (inside < 0.0) part.y = part.x;
      continue;
    }
    float at = -inside / rate;
    if (rate > 0.0) part.x = max(part.x, at - JOINT_SLACK_MM);
    else part.y = min(part.y, at + JOINT_SLACK_MM);
  }
  return part;
}
#endif
