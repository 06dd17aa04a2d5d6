// The far model's arrays; src/engine/packing/far/farTypes.ts says what each texel holds.
uniform highp usampler2D uFarClassOf;
uniform highp sampler2D uFarClassTable;
uniform highp sampler2D uFarSurfelTable;
uniform highp sampler2D uFarViewTable;
uniform highp ivec2 uFarPeriod;  // ends, lines
uniform highp ivec4 uFarWindow;  // first end and line, crossings a texel on a side, nodes of the view grid on a side
uniform highp vec2 uFarSize;     // texels of the flat picture

const float FAR_RINGS[VIEW_RINGS] = float[VIEW_RINGS](FAR_RING_DEGREES);
const float FAR_TURN = 6.283185307179586;

struct FarSurfel {
  vec4 normalArea;
  vec4 axisFamily;
  vec4 open;  // mean direction where open, share
  vec4 more;  // share on warp, azimuth of the first horizon, tilt within
  int texel;
};

FarSurfel loadFarSurfel(int index) {
  int texel = index * SURFEL_TEXELS;
  return FarSurfel(
    texelFetch(uFarSurfelTable, tableAt(texel), 0),
    texelFetch(uFarSurfelTable, tableAt(texel + 1), 0),
    texelFetch(uFarSurfelTable, tableAt(texel + 2), 0),
    texelFetch(uFarSurfelTable, tableAt(texel + 3), 0),
    texel
  );
}

// How far a direction, on the surfel's side, stands above its horizon, which fades over ±fade of elevation.
float farOpen(FarSurfel s, vec3 direction, float side, float fade) {
  float turn = (atan(direction.y, direction.x) - s.more.y) / FAR_TURN * float(HORIZONS);
  turn = mod(turn, float(HORIZONS));
  int k = min(int(turn), HORIZONS - 1);
  int next = (k + 1) % HORIZONS;
  float a = texelFetch(uFarSurfelTable, tableAt(s.texel + 4 + k / 4), 0)[k % 4];
  float b = texelFetch(uFarSurfelTable, tableAt(s.texel + 4 + next / 4), 0)[next % 4];
  float horizon = mix(a, b, turn - float(k));
  return clamp((asin(clamp(side * direction.z, -1.0, 1.0)) - horizon) / (2.0 * fade) + 0.5, 0.0, 1.0);
}

// What a group's shares of warp and weft are multiplied by towards a direction, to be those that rays find.
vec2 farViewFactor(vec3 view, int group) {
  float degrees = acos(min(1.0, abs(view.z))) * 57.29577951308232;
  int ring = 0;
  for (int k = 1; k < VIEW_RINGS - 1; k++) if (degrees > FAR_RINGS[k]) ring = k;
  float up = min(1.0, (degrees - FAR_RINGS[ring]) / (FAR_RINGS[ring + 1] - FAR_RINGS[ring]));
  float turn = mod(atan(view.y, view.x) / FAR_TURN * float(VIEW_AZIMUTHS), float(VIEW_AZIMUTHS));
  int first = min(int(turn), VIEW_AZIMUTHS - 1);
  int next = (first + 1) % VIEW_AZIMUTHS;
  float along = turn - float(first);
  ring += 2 * VIEW_RINGS * group + (view.z < 0.0 ? VIEW_RINGS : 0);
  vec2 here = mix(texelFetch(uFarViewTable, ivec2(first, ring), 0).xy, texelFetch(uFarViewTable, ivec2(next, ring), 0).xy, along);
  ring++;
  vec2 above = mix(texelFetch(uFarViewTable, ivec2(first, ring), 0).xy, texelFetch(uFarViewTable, ivec2(next, ring), 0).xy, along);
  return mix(here, above, up);
}
