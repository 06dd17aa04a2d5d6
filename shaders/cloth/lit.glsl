// Light that reaches a thread and is returned, as near and far pictures both have it. Needs light.glsl and scatter.glsl.

const float PI = 3.141592653589793;

bool mirrorsLight(int material) {
#ifdef WITH_FACETS
  int optics = material * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + 1;
  return int(texelFetch(uMaterialTable, tableAt(optics), 0).x) != SURFACE_FIBRE;
#else
  return false;
#endif
}

vec3 meanReflectance(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + 1), 0).yzw;
}

// Shares of room and window that reach what a thread shows its neighbours, and of its light that its like returns to it:
// they follow the traced reference (docs/decisions.md).
const float NEIGHBOUR_ROOM = 0.6;
const float NEIGHBOUR_WINDOW = 0.5;
const float NEIGHBOUR_AGAIN = 0.4;
const float NEIGHBOUR_FILM = 0.4;

// Radiance of a neighbour that hides the room in a direction (0: any). What shows of it faces the asker and out of the
// cloth; film mirrors the room, whatever it faces. Where it hides the window nothing passes: that light is here.
vec3 neighbourRadiance(vec3 reflectance, bool mirrors, vec3 direction, float side) {
  if (mirrors) return reflectance * NEIGHBOUR_FILM * (uSkyLight * SKY_MEAN + 0.5 * uKeyLight);
  vec3 facing = normalize(vec3(0.0, 0.0, side) - direction);
  float room = NEIGHBOUR_ROOM * uSkyLight * skyIrradiance(facing);
  float window = NEIGHBOUR_WINDOW * uKeyLight * max(0.0, dot(facing, uKeyTowards));
  return reflectance * (room + window) / (1.0 - NEIGHBOUR_AGAIN * reflectance);
}

#ifdef WITH_FACETS
// Radiance of the room that the orders of a film's grating return, over what the film reflects: each takes every wavelength from
// a direction of its own. Those that would come from below the surface are none; their light stays with the mirror, in `rest`.
vec3 roomInOrders(float pitchUm, vec3 n, vec3 t, vec3 toEye, out vec3 rest) {
  vec3 side = cross(n, t);
  float across = -dot(side, toEye);
  float sine = -dot(t, toEye);
  vec3 sum = vec3(0.0);
  rest = vec3(1.0);
  for (int k = 0; k < FEW(6); k++) {
    int order = k / 2;
    float hand = float(2 * (k & 1) - 1);
    vec3 along = sine + hand * float(order + 1) / pitchUm * CHANNEL_MIDDLE_UM;
    vec3 up = 1.0 - across * across - along * along;
    vec3 rise = sqrt(max(up, vec3(0.0)));
    vec3 room = SKY_MEAN + SKY_SWING * (along * dot(t, uSkyAxis) + across * dot(side, uSkyAxis) + rise * dot(n, uSkyAxis));
    vec3 share = GRATING_SHARES[order] * step(vec3(0.0), up);
    sum += share * room;
    rest -= share;
  }
  return sum;
}

// Radiance towards the eye of the whole window in a film, wire or clear sheet: the window is larger than their lobes, so it is
// mirrored with its outline. returned: share of light that comes back.
vec3 windowMirrored(Optics optics, vec3 returned, vec3 n, vec3 t, vec3 toEye, float alpha) {
  float above = smoothstep(-0.1, 0.1, dot(n, uKeyTowards));
  vec3 share = facetWindow(optics.gratingPitchUm, uKeyTowards, uKeyCosHalfAngle, toEye, n, t, alpha);
  return returned * share * (above * uKeyLight / (2.0 * (1.0 - uKeyCosHalfAngle)));
}
#endif
