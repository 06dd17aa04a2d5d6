// Radiance towards the eye of one kind of crossing (across), at one node of the view grid (up): light on each of its
// surfels, by what they show of themselves. Premultiplied; alpha is the share of the crossing's area that is cloth.
#include "buffers.glsl"
#include "view.glsl"
#include "farTables.glsl"
#include "light.glsl"
#include "../yarn/plies.glsl"
#include "../scatter/scatter.glsl"
#include "lit.glsl"

layout(location = 0) out highp vec4 outColour;

// Sine of elevation over which a horizon fades at the least: what its search leaves unknown.
const float HORIZON_FADE = 0.03;
// Standard deviation of tilt within a surfel, rad: surfels of a thread lie about so far apart.
const float SURFEL_TILT = 0.06;

vec3 nodeTowardsEye(int node) {
  if (uTanPerPixel == 0.0) return -uForward;
  vec2 at = vec2(node % uFarWindow.w, node / uFarWindow.w) / float(max(1, uFarWindow.w - 1));
  vec2 crossing = vec2(uFarWindow.xy) + at * float(uFarWindow.z) * uFarSize;
  ivec2 near = clamp(ivec2(crossing), ivec2(0), uCount.xz - 1);
  return normalize(uEye - vec3(endX(near.x), lineY(near.y), 0.5 * (uBoundsMin.z + uBoundsMax.z)));
}

vec3 litSurfel(FarSurfel s, int material, int counter, vec3 toEye, float side, vec3 warpBeside, vec3 weftBeside) {
  vec4 header = texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS), 0);
  vec3 rho = meanReflectance(material);
  // Strands take turns from surfel to surfel.
  int strand = counter % int(header.x);
  Optics optics = opticsAt(material * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + strand * STRAND_TEXELS);
  vec3 n = s.normalArea.xyz;
  vec3 t = fibreTangent(s.axisFamily.xyz, n, optics.fibreAngle);
  bool mirrors = optics.kind != SURFACE_FIBRE;
  float tilt = mirrors ? length(vec2(optics.facetTilt, SURFEL_TILT)) : SURFEL_TILT;
  float halfAngle = acos(uKeyCosHalfAngle);
  ScatterView view = scatterView(optics, n, t, toEye, tilt);
  vec3 through;
  Scattered albedo = scatterAlbedo(optics, rho, view, through);
  vec3 all = albedo.surface + albedo.volume + through;

  float blocked = max(1e-4, 1.0 - s.open.w);
  vec3 beside = mix(weftBeside, warpBeside, clamp(s.more.x / blocked, 0.0, 1.0));
  vec3 passedOn = neighbourRadiance(beside, mirrors, vec3(0.0), side);
  vec3 incoming;
  if (mirrors) {
    vec3 mirrored = reflect(-toEye, n);
    float open = farOpen(s, mirrored, side, max(HORIZON_FADE, tilt));
    incoming = mix(passedOn, vec3(uSkyLight * skyRadiance(mirrored)), open);
  } else {
    incoming = uSkyLight * (SKY_MEAN * s.open.w + SKY_SWING * dot(s.open.xyz, uSkyAxis)) + (1.0 - s.open.w) * passedOn;
  }
  float open = farOpen(s, uKeyTowards, side, max(HORIZON_FADE, halfAngle));
  ScatterView wide = scatterView(optics, n, t, toEye, length(vec2(tilt, 0.25 * halfAngle)));
  vec3 window = scatteredBy(optics, rho, wide, n, uKeyTowards) * open;
  return all * incoming + window;
}

void main() {
  int index = int(gl_FragCoord.x);
  vec3 toEye = nodeTowardsEye(int(gl_FragCoord.y));
  float side = toEye.z < 0.0 ? -1.0 : 1.0;
  vec4 spans = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS), 0);
  vec4 materials = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 1), 0);
  vec3 warpBeside = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 2), 0).rgb;
  vec3 weftBeside = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 3), 0).rgb;
  int first = int(side > 0.0 ? spans.x : spans.z);
  int count = int(side > 0.0 ? spans.y : spans.w);
  vec2 factor = farViewFactor(toEye);
  vec4 sum = vec4(0.0);
  for (int k = 0; k < LOOP(MOST_SURFELS); k++) {
    if (k >= count) break;
    FarSurfel s = loadFarSurfel(first + k);
    float facing = dot(s.normalArea.xyz, toEye);
    if (facing <= 0.0) continue;
    bool isWarp = s.axisFamily.w > 0.5;
    float shown = s.normalArea.w * facing * farOpen(s, toEye, side, HORIZON_FADE) * (isWarp ? factor.x : factor.y);
    if (shown <= 0.0) continue;
    int material = int(isWarp ? materials.x : materials.y);
    sum += shown * vec4(litSurfel(s, material, k, toEye, side, warpBeside, weftBeside), 1.0);
  }
  outColour = sum / max(0.05, abs(toEye.z));
}
