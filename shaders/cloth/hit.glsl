// What a ray meets.
// Single hairs are met by lines of sight through kinds of crossings and by traced paths. The near picture draws them as curves
// (hairDraw.vert.glsl), and to the light hair is a medium (hairMedium.glsl). With HAIR_ALONE bodies are not looked for.
#if defined(HAIR) && !defined(ANY_HIT) && !defined(HAIR_DRAWN)
#define HAIR_HITS
#endif

#include "buffers.glsl"
#include "tube.glsl"
#include "extra.glsl"
#include "extraHair.glsl"
#include "hair.glsl"

#if defined(CLEAR) && !defined(ANY_HIT)
#define TELLS_FACING
#endif

struct Hit {
  int kind;
  int index;
  float t;
  int cell;    // along the thread
  int steps;
  int candidates;
  float level; // height within the cloth hereabouts: -1 at its lowest, 1 at its highest
#ifdef TELLS_FACING
  vec3 facing; // about which way a thread that was met faces
#endif
#ifdef HAIR_HITS
  bool isHair;
  HairHit hair;  // in the segment's axes
#endif
};

Hit noHit() {
#if defined(TELLS_FACING)
  return Hit(KIND_NONE, 0, NEVER, 0, 0, 0, 0.0, vec3(0.0));
#elif defined(HAIR_HITS)
  return Hit(KIND_NONE, 0, NEVER, 0, 0, 0, 0.0, false, HairHit(NEVER, vec3(0.0), vec3(0.0), 0.0));
#else
  return Hit(KIND_NONE, 0, NEVER, 0, 0, 0, 0.0);
#endif
}
