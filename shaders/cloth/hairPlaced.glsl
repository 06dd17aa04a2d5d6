// A hair on its thread, in three texels of whole numbers that keep floats bit by bit. Where its thread runs smoothly enough beside
// it the curve is the cloth's own; else it is that of its thread laid straight.
struct PlacedHair {
  vec3 root;
  vec3 chord;
  vec3 bow;
  float radius;   // mm; 0: no hair
  int index;      // of the thread
  bool straight;  // the thread is laid straight
  vec2 level;     // lowest and highest of the cloth hereabouts, mm
};
