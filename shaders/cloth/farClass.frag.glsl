// Radiance towards the eye of one kind of crossing (across), at one node of the view grid (up): light on each of its
// surfels, by what they show of themselves. Premultiplied; alpha is the share of the crossing's area that is cloth.
#include "buffers.glsl"
#include "view.glsl"
#include "farTables.glsl"
#include "roomRay.glsl"
#include "../yarn/plies.glsl"
#include "../scatter/scatter.glsl"
#include "lit.glsl"

layout(location = 0) out highp vec4 outColour;

// Elevation over which a horizon fades at the least, rad: what its search leaves unknown.
const float HORIZON_FADE = 0.03;
// The same for where lobes of fibres look: about their width.
const float LOBE_FADE = 0.2;

// What a crossing's threads show one another.
struct Beside {
  vec3 warp;
  vec3 weft;
  bool warpMirrors;
  bool weftMirrors;
};

vec3 nodeTowardsEye(int node) {
  if (uTanPerPixel == 0.0) return -uForward;
  vec2 at = vec2(node % uFarWindow.w, node / uFarWindow.w) / float(max(1, uFarWindow.w - 1));
  vec2 crossing = vec2(uFarWindow.xy) + at * float(uFarWindow.z) * uFarSize;
  ivec2 near = clamp(ivec2(crossing), ivec2(0), uCount.xz - 1);
  return normalize(uEye - vec3(endX(near.x), lineY(near.y), 0.5 * (uBoundsMin.z + uBoundsMax.z)));
}

// Radiance of what hides the room from a surfel in a direction.
vec3 besideRadiance(Beside beside, FarSurfel s, vec3 direction, float side) {
  float onWarp = clamp(s.more.x / max(1e-4, 1.0 - s.open.w), 0.0, 1.0);
  vec3 warp = neighbourRadiance(beside.warp, beside.warpMirrors, direction, side);
  vec3 weft = neighbourRadiance(beside.weft, beside.weftMirrors, direction, side);
  return mix(weft, warp, onWarp);
}

// The room on the cone of directions that mirror the eye's along the fibre, spread by the cosine about it.
vec3 lobeRadiance(FarSurfel s, vec3 n, vec3 t, vec3 toEye, float side, Beside beside) {
  float along = dot(toEye, t);
  float square = sqrt(max(0.0, 1.0 - along * along));
  vec3 sum = vec3(0.0);
  for (int k = -1; k <= LOOP(1); k++) {
    float sine = (2.0 / 3.0) * float(k);
    vec3 direction = -along * t + square * (sqrt(1.0 - sine * sine) * n + sine * cross(n, t));
    float open = farOpen(s, direction, side, LOBE_FADE);
    sum += mix(besideRadiance(beside, s, direction, side), vec3(uSkyLight * skyRadiance(direction)), open);
  }
  return sum / 3.0;
}

vec3 litSurfel(FarSurfel s, int material, int counter, vec3 toEye, float side, Beside beside) {
  vec4 header = texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS), 0);
  vec3 rho = meanReflectance(material);
  // Strands take turns from surfel to surfel.
  int strand = counter % int(header.x);
  Optics optics = opticsAt(material * MATERIAL_TEXELS + MATERIAL_HEADER_TEXELS + strand * STRAND_TEXELS);
  vec3 n = s.normalArea.xyz;
  vec3 t = fibreTangent(s.axisFamily.xyz, n, optics.fibreAngle);
  bool mirrors = optics.kind != SURFACE_FIBRE;
  // Each surfel stands for one facet.
  if (optics.facetTilt > 0.0) {
    leanFrame(n, t, facetTilt(counter, 0.5 * optics.facetLengthMm, optics.facetLengthMm, optics.facetTilt));
    n = towardsEye(n, -toEye);
    t = normalize(t - dot(t, n) * n);
  }
  ScatterView view = scatterView(optics, n, t, toEye, s.more.z);
  vec3 through;
  Scattered albedo = scatterAlbedo(optics, rho, view, through);
  vec3 all = albedo.surface + albedo.volume + through;

  vec3 room;
  if (mirrors) {
    vec3 mirrored = reflect(-toEye, n);
    float open = farOpen(s, mirrored, side, max(HORIZON_FADE, optics.surfaceWidth));
    room = all * mix(besideRadiance(beside, s, mirrored, side), vec3(uSkyLight * skyRadiance(mirrored)), open);
  } else {
    // Cosines about the normal have the mean direction 2/3 n; what is not open of it is hidden.
    vec3 hiddenMean = (2.0 / 3.0) * n - s.open.xyz;
    vec3 hiddenAt = dot(hiddenMean, hiddenMean) > 1e-6 ? normalize(hiddenMean) : n;
    vec3 even = vec3(uSkyLight * (SKY_MEAN * s.open.w + SKY_SWING * dot(s.open.xyz, uSkyAxis)));
    even += (1.0 - s.open.w) * besideRadiance(beside, s, hiddenAt, side);
    vec3 lobed = even;
    if (asksByLobe(optics)) lobed = lobeRadiance(s, n, t, toEye, side, beside);
    // What fibres scatter every way takes its light from everywhere.
    vec3 volume = albedo.volume * mix(lobed, even, asksByLobe(optics) ? optics.isotropy : 1.0);
    room = volume + through * even + albedo.surface * lobed;
  }

  float halfAngle = acos(uKeyCosHalfAngle);
  vec3 direction = uKeyTowards;
  float fade = max(HORIZON_FADE, halfAngle);
  if (mirrors) {
    // Film is too sharp for one direction and a wider lobe: directions over the window's cap, one a surfel.
    vec2 u = fract(0.5 + float(counter) * vec2(0.7548776662466927, 0.5698402909980532));
    float cosine = mix(1.0, uKeyCosHalfAngle, u.x);
    float sine = sqrt(max(0.0, 1.0 - cosine * cosine));
    direction = basisAbout(uKeyTowards) * vec3(sine * cos(FAR_TURN * u.y), sine * sin(FAR_TURN * u.y), cosine);
    fade = HORIZON_FADE;
  } else {
    view = scatterView(optics, n, t, toEye, length(vec2(s.more.z, 0.25 * halfAngle)));
  }
  return room + scatteredBy(optics, rho, view, n, direction) * farOpen(s, direction, side, fade);
}

void main() {
  int index = int(gl_FragCoord.x);
  vec3 toEye = nodeTowardsEye(int(gl_FragCoord.y));
  float side = toEye.z < 0.0 ? -1.0 : 1.0;
  vec4 spans = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS), 0);
  ivec2 materials = ivec2(texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 1), 0).xy);
  Beside beside;
  vec4 warpColour = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 2), 0);
  beside.warp = warpColour.rgb;
  beside.weft = texelFetch(uFarClassTable, tableAt(index * CLASS_TEXELS + 3), 0).rgb;
  beside.warpMirrors = mirrorsLight(materials.x);
  beside.weftMirrors = mirrorsLight(materials.y);
  int first = int(side > 0.0 ? spans.x : spans.z);
  int count = int(side > 0.0 ? spans.y : spans.w);
  vec2 factor = farViewFactor(toEye, int(warpColour.w));
  vec4 sum = vec4(0.0);
  for (int k = 0; k < LOOP(MOST_SURFELS); k++) {
    if (k >= count) break;
    FarSurfel s = loadFarSurfel(first + k);
    float facing = dot(s.normalArea.xyz, toEye);
    if (facing <= 0.0) continue;
    bool isWarp = s.axisFamily.w > 0.5;
    float shown = s.normalArea.w * facing * farOpen(s, toEye, side, HORIZON_FADE) * (isWarp ? factor.x : factor.y);
    if (shown <= 0.0) continue;
    sum += shown * vec4(litSurfel(s, isWarp ? materials.x : materials.y, k, toEye, side, beside), 1.0);
  }
  outColour = sum / max(0.05, abs(toEye.z));
}
