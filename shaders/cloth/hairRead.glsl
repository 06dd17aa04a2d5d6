// Reading of placed hairs for their corners.
#include "hairPlaced.glsl"

uniform highp usampler2D uHairRoots;   // as hairPlace.frag.glsl wrote them
uniform highp usampler2D uHairChords;
uniform highp usampler2D uHairBows;

PlacedHair placedHair(ivec2 texel) {
  uvec4 root = texelFetch(uHairRoots, texel, 0);
  uvec4 chord = texelFetch(uHairChords, texel, 0);
  uvec4 bow = texelFetch(uHairBows, texel, 0);
  return PlacedHair(
    uintBitsToFloat(root.xyz),
    uintBitsToFloat(chord.xyz),
    uintBitsToFloat(bow.xyz),
    uintBitsToFloat(root.w),
    int(chord.w >> 1u),
    (chord.w & 1u) == 1u,
    unpackHalf2x16(bow.w)
  );
}
