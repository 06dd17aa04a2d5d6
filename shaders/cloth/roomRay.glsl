#include "light.glsl"
#include "../scatter/hairPhase.glsl"
#include "../scatter/sample.glsl"

// Rays to the room from lustrous fibres go where their lobes look. Chances are alike for all of them, so that both passes
// know the direction without a table. Matte fibres take their light evenly enough from everywhere: rays spread by the
// cosine tell it with less noise (docs/measurements.md).
bool asksByLobe(Optics optics) {
  return optics.kind == SURFACE_FIBRE && optics.isotropy < LOBED_BELOW;
}

// Whether any of a material's faces asks otherwise than by the cosine.
bool asksByFace(int material) {
  return texelFetch(uMaterialTable, tableAt(material * MATERIAL_TEXELS + CORE_TEXEL), 0).z > 0.5;
}

vec3 roomChances(Optics optics) {
  return lobeChances(optics, 0.08, 0.6);
}

vec3 lobeRoomDirection(vec2 u, Optics optics, vec3 normal, vec3 tangent, vec3 toEye) {
  vec3 c = roomChances(optics);
  // One number tells the lobe and the inclination within it, the other the azimuth, by its cosine.
  float from = u.x < c.z ? 0.0 : u.x < c.z + c.x ? c.z : c.z + c.x;
  float share = u.x < c.z ? c.z : u.x < c.z + c.x ? c.x : c.y;
  vec4 four = vec4(u.x, (u.x - from) / max(1e-6, share), 0.0, u.y);
  return sampleFibre(optics, normal, tangent, c, fibreAngles(normal, tangent, toEye), 0.0, four);
}

// Per steradian, of lobeRoomDirection.
float lobeRoomPdf(Optics optics, vec3 normal, vec3 tangent, vec3 toEye, vec3 direction) {
  FibreDirection i = fibreAngles(normal, tangent, direction);
  float pdf = fibrePdf(optics, roomChances(optics), i, fibreAngles(normal, tangent, toEye), 0.0);
  return pdf * 0.5 * i.cosPhi / (0.25 * i.cosPhi + 0.5 / 3.14159265);
}
