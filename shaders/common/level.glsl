// Level and square to a thread; where it runs straight up or down, any level direction.
vec3 levelBeside(vec3 axis) {
  return normalize(vec3(-axis.y, axis.x + 1e-9, 0.0));
}
