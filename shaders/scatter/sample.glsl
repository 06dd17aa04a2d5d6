// Directions to look for light in, and how densely; the twin of src/engine/scatter/sampleFibre.ts and facets.ts.
#include "scatter.glsl"

const float SAMPLE_HALF_PI = 1.57079633;
const float LOGISTIC_OF_GAUSSIAN = 0.55;

float logistic(float x) {
  return 1.0 / (1.0 + exp(-x));
}

// Chances of surface lobe, volume lobe, and evenly; reflectance: brightest channel.
vec3 lobeChances(Optics optics, float surfaceAlbedo, float reflectance) {
  float within = (1.0 - surfaceAlbedo) * reflectance;
  float surface = clamp(surfaceAlbedo / max(1e-6, surfaceAlbedo + within), 0.1, 0.9);
  float even = optics.isotropy * 3.14159265;
  float share = even / (even + 2.0 * (1.0 - optics.isotropy));
  return vec3(surface, (1.0 - surface) * (1.0 - share), (1.0 - surface) * share);
}

// Of the surface lobe and the volume's.
vec2 lobeDensities(float thetaH, float thetaO, vec2 width) {
  vec2 scale = LOGISTIC_OF_GAUSSIAN * width;
  vec2 from = 1.0 / (1.0 + exp((SAMPLE_HALF_PI - thetaO) / (2.0 * scale)));
  vec2 to = 1.0 / (1.0 + exp((-SAMPLE_HALF_PI - thetaO) / (2.0 * scale)));
  // y (1 - y) in a form that keeps its digits in the tails.
  vec2 e = exp(-abs(thetaH) / scale);
  return e / ((1.0 + e) * (1.0 + e) * scale * (to - from));
}

vec2 widenedLobes(Optics optics, float tilt) {
  return sqrt(vec2(optics.surfaceWidth, optics.volumeWidth) * vec2(optics.surfaceWidth, optics.volumeWidth) + tilt * tilt);
}

// Per steradian.
float fibrePdf(Optics optics, vec3 chances, FibreDirection i, FibreDirection o, float tilt) {
  if (i.cosPhi <= 0.0) return 0.0;
  vec2 width = widenedLobes(optics, tilt);
  float thetaO = scatterArcsine(o.sinTheta);
  float thetaH = 0.5 * (scatterArcsine(i.sinTheta) + thetaO);
  float theta = 0.5 * dot(chances.xy, lobeDensities(thetaH, thetaO, width)) / max(LEAST_COSINE, i.cosTheta) + 0.5 * chances.z;
  return theta * (0.25 * i.cosPhi + 0.5 / 3.14159265);
}

// u: lobe, inclination, azimuth's way, azimuth.
vec3 sampleFibre(Optics optics, vec3 normal, vec3 tangent, vec3 chances, FibreDirection o, float tilt, vec4 u) {
  float sinTheta = 2.0 * u.y - 1.0;
  if (u.x >= chances.z) {
    vec2 widths = widenedLobes(optics, tilt);
    float scale = LOGISTIC_OF_GAUSSIAN * (u.x < chances.z + chances.x ? widths.x : widths.y);
    float thetaO = scatterArcsine(o.sinTheta);
    float from = logistic((thetaO - SAMPLE_HALF_PI) / (2.0 * scale));
    float to = logistic((thetaO + SAMPLE_HALF_PI) / (2.0 * scale));
    float y = clamp(mix(from, to, u.y), 1e-6, 1.0 - 1e-6);
    sinTheta = sin(clamp(2.0 * scale * log(y / (1.0 - y)) - thetaO, -SAMPLE_HALF_PI, SAMPLE_HALF_PI));
  }
  float cosTheta = sqrt(max(LEAST_COSINE * LEAST_COSINE, 1.0 - sinTheta * sinTheta));
  float sinPhi = u.z < 0.5 ? 2.0 * u.w - 1.0 : sin(3.14159265 * (u.w - 0.5));
  float cosPhi = sqrt(max(0.0, 1.0 - sinPhi * sinPhi));
  return sinTheta * tangent + cosTheta * (cosPhi * normal + sinPhi * cross(normal, tangent));
}

// A visible facet's normal (Heitz 2018); toEye above the surface.
vec3 sampleFacet(vec3 normal, vec3 tangent, vec3 toEye, float alpha, vec2 u) {
  vec3 side = cross(normal, tangent);
  vec3 o = normalize(vec3(alpha * dot(toEye, tangent), alpha * dot(toEye, side), dot(toEye, normal)));
  float across = length(o.xy);
  vec3 a = across > 1e-7 ? vec3(-o.y, o.x, 0.0) / across : vec3(1.0, 0.0, 0.0);
  vec3 b = cross(o, a);
  float radius = sqrt(u.x);
  float p = radius * cos(6.28318531 * u.y);
  float lean = 0.5 * (1.0 + o.z);
  float q = (1.0 - lean) * sqrt(max(0.0, 1.0 - p * p)) + lean * radius * sin(6.28318531 * u.y);
  vec3 h = p * a + q * b + sqrt(max(0.0, 1.0 - p * p - q * q)) * o;
  h = normalize(vec3(alpha * h.xy, max(1e-6, h.z)));
  return h.x * tangent + h.y * side + h.z * normal;
}

// Per steradian of the light that the facet mirrors.
float facetPdf(float cosineH, float cosineO, float alpha) {
  return facetDensity(cosineH, alpha) / (4.0 * cosineO * (1.0 + facetLambda(cosineO, alpha)));
}
