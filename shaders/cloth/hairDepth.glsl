// Depth, 0..1, of what lies so far in front of the eye, mm: linear without perspective, with it as perspective has it.
uniform highp vec3 uDepthRange;  // at 0, its change, 1 where with the inverse of the distance

float bufferDepth(float ahead) {
  return clamp(uDepthRange.x + uDepthRange.y * (uDepthRange.z > 0.5 ? 1.0 / max(ahead, 1e-3) : ahead), 0.0, 1.0);
}
