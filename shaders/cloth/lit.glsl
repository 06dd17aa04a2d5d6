// Light that reaches a thread and is returned, as near and far pictures both have it. Needs light.glsl and scatter.glsl.

const float PI = 3.141592653589793;

// Light that the flanks of neighbours pass on, where room or window is hidden: share of a facing card's light that
// reaches a neighbour in a crevice. Touching round threads see 2/pi of the sky on average; a second bounce adds a little.
const float CREVICE_LIGHT = 0.62;

vec3 meanReflectance(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + 1), 0).yzw;
}

// Share of the window's light that comes round a neighbour of this reflectance which hides it.
vec3 windowPassedOn(vec3 reflectance) {
  return 0.18 * reflectance;
}

// Radiance of a neighbour that hides the room.
vec3 roomPassedOn(vec3 reflectance) {
  return reflectance * CREVICE_LIGHT * (uSkyLight * SKY_MEAN + 0.5 * uKeyLight);
}

// Radiance towards the eye of the window's light from a direction; uKeyLight is its irradiance square on, over pi.
vec3 scatteredBy(Optics optics, vec3 rho, ScatterView view, vec3 n, vec3 direction) {
  Scattered f = scatterLight(optics, rho, view, direction);
  return (f.surface + f.volume) * (PI * uKeyLight * max(0.0, dot(n, direction)));
}
