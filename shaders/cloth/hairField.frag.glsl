// How dense hair stands in one layer over the cloth's plane, as a medium for rays to the light (hairMedium.glsl): hair that thins
// out in two bytes that are filtered as one number; pile, which ends sharply, by its density as if it went on past its ends, and
// how far within those a place lies, so that filtering does not blur them. src/render/hairField.ts has it written once for a view.
#include "hairMedium.glsl"

uniform highp vec4 uHairPlace;    // left and bottom mm, over the field's extent
uniform highp vec3 uFieldLayer;   // height mm, the greatest density that is told, how far off ends of pile are told, mm
uniform highp vec2 uTargetSize;

layout(location = 0) out highp vec4 outDensity;

void main() {
  float thinning = 0.0;
  float within = 0.0;
  float beyond = 0.0;
  float most = -NEVER;
#ifdef HAIR
  vec2 at = uHairPlace.xy + gl_FragCoord.xy / (uTargetSize * uHairPlace.zw);
  ivec2 cell = ivec2(cellAt(true, at.x), cellAt(false, at.y));
  ivec2 place = cell + 1;
  int tile = ((place.y / TILE_CELLS) * uTilesAcross + place.x / TILE_CELLS) * TILE_TEXELS;
  int bits = int(texelFetch(uTileTable, tableAt(tile), 0).x);
  vec4 sides = vec4(endXOrBeyond(cell.x), endXOrBeyond(cell.x + 1), lineYOrBeyond(cell.y), lineYOrBeyond(cell.y + 1));
  for (int k = 0; k < LOOP(2 * HAIR_THREADS); k++) {
    bool isWarp = k >= HAIR_THREADS;
    int number = isWarp ? k - HAIR_THREADS : k;
    int reach = isWarp ? bits & 3 : (bits >> TILE_REACH_LINES_SHIFT) & 3;
    int cellAlong = isWarp ? cell.y : cell.x;
    int thread = (isWarp ? cell.x : cell.y) + 1 - reach + number;
    if (number >= 2 * reach || thread < 0 || thread >= (isWarp ? uCount.x : uCount.z)) continue;
    if (cellAlong < 0 || cellAlong + 1 >= (isWarp ? uCount.z : uCount.x)) continue;
    int index = isWarp ? thread : rowOnLine(thread, cellAlong, cellAlong + 1);
    vec2 along = isWarp ? sides.zw : sides.xy;
    Segment s;
    if (!loadSegment(isWarp ? KIND_WARP : KIND_WEFT, index, cellAlong, along.x, along.y, s)) continue;
    // Light does not look at a few stray hairs.
    if (s.hair.x <= 0.0 || fract(s.hair.y) != 0.0) continue;
    float u = clamp(((isWarp ? at.y : at.x) - s.along) / s.pitch, 0.0, 1.0);
    vec2 beside = vec2((isWarp ? at.x : at.y) - s.side, uFieldLayer.x) - centreBeside(s, u);
    vec2 size = sizeAt(s, u);
    HairShell shell = hairShell(s, size);
    float inside;
    float density = hairDensityOnwards(shell, beside, size, inside);
    if (shell.thins > 0.0) {
      if (inside > 0.0) thinning += density;
      continue;
    }
    // Beyond all pile what ends nearest goes on.
    if (inside > 0.0) within += density;
    else if (inside > most) beyond = density;
    most = max(most, inside);
  }
#endif
  float told = 255.0 * clamp(thinning / uFieldLayer.y, 0.0, 1.0);
  float pile = clamp((most > 0.0 ? within : beyond) / uFieldLayer.y, 0.0, 1.0);
  outDensity = vec4(floor(told) / 255.0, fract(told), pile, clamp(0.5 + 0.5 * most / uFieldLayer.z, 0.0, 1.0));
}
