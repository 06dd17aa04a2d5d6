// The cloth flat in its middle and bent about cylinders at one end or both, in panels that turn alike at each joint. Within a
// panel rays are straight in the cloth's own flat space as well, so that the walk is the same. Twin and reasons:
// src/engine/packing/walk/drape.ts.
#ifdef DRAPE
uniform highp vec4 uDrape;     // the first axis: y in the flat cloth, mm; depth below its middle, mm; turn at a joint, rad; joints
uniform highp vec3 uDrapeFar;  // the other end's: y, mm; joints; and 1 where both axes lie along the warp, so that y is x

// Sides of panels are taken this much wider, so that a touch at a joint is not lost to rounding.
const float JOINT_SLACK_MM = 1e-3;

struct Panel {
  vec2 turn;      // cosine and sine of its turn
  vec2 foot;      // y of the flat cloth that lies nearest to the axis, and the axis's z, mm
  vec2 axis;
};

// Whether both axes lie along the warp; tangent of half a joint's turn. Set once, to keep the program small.
bool alongWarp;
float slope;

void setDrape() {
  alongWarp = uDrapeFar.z > 0.5;
  slope = tan(0.5 * uDrape.z);
}

Panel panelAt(int k) {
  float turn = float(k) * uDrape.z;
  float axisMm = k < 0 ? uDrapeFar.x : uDrape.x;
  float z = -uDrape.y;
  return Panel(vec2(cos(turn), sin(turn)), vec2(axisMm + float(k) * 2.0 * z * slope, z), vec2(axisMm, z));
}

// The two directions that bending turns, and what it leaves alone put back.
vec2 turning(vec3 d) {
  return vec2(alongWarp ? d.x : d.y, d.z);
}

vec3 turned(vec3 d, vec2 by) {
  return alongWarp ? vec3(by.x, d.y, by.y) : vec3(d.x, by);
}

vec2 turnInto(Panel f, vec2 d) {
  return vec2(dot(d, f.turn), dot(d, vec2(-f.turn.y, f.turn.x)));
}

vec2 turnOutOf(Panel f, vec2 d) {
  return vec2(dot(d, vec2(f.turn.x, -f.turn.y)), dot(d, f.turn.yx));
}

vec3 directionInto(Panel f, vec3 d) {
  return turned(d, turnInto(f, turning(d)));
}

vec3 directionOutOf(Panel f, vec3 d) {
  return turned(d, turnOutOf(f, turning(d)));
}

vec3 placeInto(Panel f, vec3 p) {
  return turned(p, turnInto(f, turning(p) - f.axis) + f.foot);
}

vec3 placeOutOf(Panel f, vec3 p) {
  return turned(p, turnOutOf(f, turning(p) - f.foot) + f.axis);
}

// The part of a ray, in the k-th panel's space, that lies between its joints; none where the first is not below the second.
vec2 partWithin(int k, Panel f, vec3 o, vec3 d, float tMin, float tMax) {
  vec2 part = vec2(tMin, tMax);
  for (int side = 0; side < LOOP(2); side++) {
    if (side == 0 ? k == -int(uDrapeFar.y) : k == int(uDrape.w)) continue;
    float outwards = side == 0 ? 1.0 : -1.0;
    // The flat panel reaches from axis to axis.
    float footMm = side == 0 && k == 0 ? uDrapeFar.x : f.foot.x;
    vec2 from = turning(o);
    vec2 by = turning(d);
    float inside = slope * (from.y + uDrape.y) - outwards * (from.x - footMm);
    float rate = slope * by.y - outwards * by.x;
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
