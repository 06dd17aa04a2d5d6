// Scale factors and albedos (layout: src/engine/scatter/scatterLayout.ts). RGBA, filtered linearly.
uniform highp sampler3D uScatterTable;

float scatterPlace(float cosine) {
  return (1.0 - sqrt(clamp(cosine, 0.0, 1.0))) * float(SCATTER_NODES - 1);
}

// x, y among the nodes, z among the block's levels, so that filtering never leaves the block.
vec4 scatterEntry(int block, vec3 place) {
  vec3 texel = vec3(place.xy, float(block * SCATTER_LEVELS) + place.z) + 0.5;
  return textureLod(uScatterTable, texel / vec3(textureSize(uScatterTable, 0)), 0.0);
}

float tiltLevel(float tilt) {
  return float(SCATTER_LEVELS - 1) * sqrt(clamp(tilt / SCATTER_MOST_TILT, 0.0, 1.0));
}
