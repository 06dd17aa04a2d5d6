// Light on hair drawn one by one. Needs lit.glsl and what shade.frag.glsl knows of a pixel's rays.

// Mean colour of ends and of picks.
uniform highp vec3 uWarpColour;
uniform highp vec3 uWeftColour;

// Light of what lies beside a hair, of stray hair and of dense pile (x and y), over a white card's in the same light; all follow the
// traced reference (docs/decisions.md).
const vec2 CROSSING = vec2(0.38, 0.22);    // share of threads that cross its own
const vec2 ROOM_DEEP = vec2(1.06, 0.93);   // of the room, deep in the cloth,
const vec2 ROOM_FREE = vec2(1.06, 1.17);   // and where it lies open.
// Of the window, about a stray hair, whether it sees the window itself or not, and by how much of it it sees; about pile by which way
// that stands, as about any rough thing, and no darker than that where it stands away; less where its fibres pass light straight on.
const vec2 WINDOW_ASTRAY = vec2(0.06, 0.4);
const vec2 WINDOW_PILE = vec2(0.46, 0.7);
const float PILE_AWAY = 0.21;
const float PILE_FORWARD = 0.6;
const float ALONG_PILE = 0.35;
// Of (1 - cos phi)^2 / (3 pi), what lies within a quarter turn of straight on: 1/2 + 4 / (3 pi).
const float AHEAD_FROM_BEHIND = 0.924413;
// Laid side by side so many times over its halo's width, hair lets less than a tenth through between itself.
const float OPAQUE = 2.3;
// Of the depth of pile on the way out, what rays find on theirs (fitted in the window's light).
const float RAYS_FIND = 1.2;

// Whether a line of sight that passes a hair sees the bench between the bodies behind it, 0..1: where it comes through the
// middle of the cloth, beside the four threads there.
float benchBehind(vec3 at, vec3 direction, float pixelMm) {
  vec2 place = at.xy + max(0.0, -at.z / direction.z) * direction.xy;
  ivec2 cell = ivec2(cellAt(true, place.x), cellAt(false, place.y));
  float open = 1.0;
  for (int k = 0; k < LOOP(4); k++) {
    bool isEnd = k < 2;
    int thread = (isEnd ? cell.x : cell.y) + (k & 1);
    if (thread < 0 || thread >= (isEnd ? uCount.x : uCount.z)) continue;
    int row = isEnd ? 0 : rowOnLine(thread, cell.x, cell.x + 1);
    vec4 body = threadTexel(isEnd ? 2 * thread + 1 : 2 * row);
    float beside = abs((isEnd ? place.x : place.y) - body.x);
    open *= clamp(0.5 + (beside - body.y) / max(pixelMm, 1e-3), 0.0, 1.0);
    if (open <= 0.0) break;
  }
  return open;
}

// Of a yarn and its hair, mm.
float haloWidth(vec4 thread) {
  return thread.y + thread.z + 2.0 * texelFetch(uMaterialTable, tableAt(int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL), 0).x;
}

// Share of a line of sight past a hair that its like behind it leave open: all of a yarn's laid side by side, over the width of
// its halo, or over its way to the next yarn where that is less and halos lie in one another.
float throughHalo(vec4 thread, int kind, vec3 at) {
  int cell = cellAt(kind == KIND_WARP, kind == KIND_WARP ? at.x : at.y);
  float pitch = NEVER;
  if (cell >= 0 && cell + 1 < (kind == KIND_WARP ? uCount.x : uCount.z))
    pitch = kind == KIND_WARP ? endX(cell + 1) - endX(cell) : lineY(cell + 1) - lineY(cell);
  int texel = int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL;
  return exp(-texelFetch(uMaterialTable, tableAt(texel + 3), 0).x / min(pitch, haloWidth(thread)));
}

// Share of the window that reaches a lock of pile before rays have told: what the rest of its own yarn's pile, pressed, leaves of it on
// the way out, as the medium that rays pass through (hairMedium.glsl), and nothing through the core. high: on the lock, 0..1.
float windowInPile(vec4 thread, vec3 axis, float high) {
  int texel = int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL;
  vec4 hair = texelFetch(uMaterialTable, tableAt(texel), 0);
  float core = 0.5 * abs(hair.z) * (thread.y + thread.z);
  float reach = hair.x / texelFetch(uMaterialTable, tableAt(texel + 2), 0).w;
  float here = core + high * reach;
  float ends = core + reach;
  // How near to the core's middle the way leads, if it leads inwards.
  float facing = dot(axis, uKeyTowards);
  float passes2 = here * here * (1.0 - facing * facing);
  float way = sqrt(max(0.0, ends * ends - passes2)) - here * facing;
  float depth = texelFetch(uMaterialTable, tableAt(texel + 3), 0).y * way / (0.5 * reach * (here + ends));
  float past = facing > 0.0 ? 1.0 : smoothstep(core, 1.3 * core, sqrt(passes2));
  return past * exp(-RAYS_FIND * depth);
}

// How much of the window falls on pile at a height in the cloth, -1..1, over what falls where that is open: low light reaches the
// heights alone. facing: cosine between window and cloth.
float windowFalls(float facing, float level) {
  float lift = smoothstep(0.3, 0.5, facing);
  float high = smoothstep(-0.1 - 0.3 * lift, 1.0 - 0.5 * lift, level);
  return smoothstep(0.0, 0.3, facing) * mix(0.12 + 0.5 * high, 0.35 + 0.7 * high, lift);
}

// A hair: light from everywhere, some of it through the hair. A pixel meets it in some samples only, so what rays find
// is not worked in by its difference from the estimate, which would be noise; how often they reach the window is.
vec3 shadeHair(Seen s, vec3 toEye) {
  vec3 axis = s.axis;
  float high = hairHigh(s.swell);
  ivec2 texel = ivec2(gl_FragCoord.xy);
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  int owner = ownerOf(s.kind, s.index);
  vec4 thread = threadTexel(owner);
  int strand = hairStrandTexel(int(thread.w));
  vec3 own = texelFetch(uMaterialTable, tableAt(strand), 0).rgb;
  HairLight h = hairLight(opticsAt(strand), own, axis);
  float side = toEye.z > 0.0 ? 1.0 : -1.0;
  // Behind a hair is the cloth, before it the room; nearer its root and lower in the cloth, less of that.
  float through = throughPile(int(thread.w), 0.5 * (thread.y + thread.z));
  float opening = mix(through, 1.0, high) * mix(0.5, 1.0, smoothstep(-0.7, 0.6, side * s.level));
  // A hair that stands sideways has its own yarn beside it.
  opening *= 0.75 + 0.25 * side * axis.z;
  // Upright pile takes the room's light in along itself, and its like stand close about it, lit as it is; the more, the denser.
  bool upright = isPile(int(thread.w));
  float dense = upright ? 1.0 - through : 0.0;
  float guess = windowGuess(opening);
  if (upright) guess = mix(guess, windowInPile(thread, axis, high), dense);
  float asks = float(windowAsksBefore(pixel));
  vec4 told = uLit == 0 ? vec4(0.0) : texelFetch(uLight, texel, 0);
  int light = int(bytesOf(told).x);
  bool asked = light != LIGHT_NOT_ASKED && lightAsked(pixel) == ASKS_WINDOW;
  float reached = asked && light == LIGHT_OPEN ? told.y : 0.0;
  if (asked) learnWindow(reached, guess, asks);
  // What a body in the same pixel has learnt may be less than hair has.
  float window = max(0.0, windowReaches(guess, asked ? asks + 1.0 : asks));
  // Of a kind of crossings each line of sight asks for itself, and the mean of many is shown: the ray speaks for its samples.
  if (drawsKinds()) window = asked ? mix(guess, reached, float(ASK_EVERY)) : guess;
  float sky = uSkyLight * SKY_MEAN;
  vec3 crossing = (owner & 1) == 1 ? uWeftColour : uWarpColour;
  vec3 others = mix(own, crossing, mix(CROSSING.x, CROSSING.y, dense));
  float room = sky * mix(mix(ROOM_DEEP.x, ROOM_DEEP.y, dense), mix(ROOM_FREE.x, ROOM_FREE.y, dense), opening);
  float falls = windowFalls(side * uKeyTowards.z, side * s.level);
  float astray = WINDOW_ASTRAY.x * falls + WINDOW_ASTRAY.y * window;
  float among = max(PILE_AWAY, WINDOW_PILE.x + WINDOW_PILE.y * dot(axis, uKeyTowards)) * (1.0 - PILE_FORWARD * h.forward) * falls;
  vec3 beside = others * (room + uKeyLight * mix(astray, among, dense));
  float open = (0.5 - 0.4 * h.forward) * opening * mix(1.0, ALONG_PILE, dense);
  vec3 about = mix(beside, vec3(sky), open);
  // What comes through a fibre comes from the half space behind it: half of what it scatters evenly, more of what goes on ahead.
  float fromBehind = 0.0;
  float cover = texelFetch(uMaterialTable, tableAt(int(thread.w) * MATERIAL_TEXELS + HAIR_TEXEL + 3), 0).x;
  if (cover < OPAQUE * haloWidth(thread))
    fromBehind = mix(0.5, AHEAD_FROM_BEHIND, h.forward) * benchBehind(s.at, -toEye, pixelMmAt(s.depth)) * throughHalo(thread, s.kind, s.at);
  vec3 within = mix(about, uBackground, fromBehind);
  return h.surface * about + h.within * within + hairPhase(h, toEye, uKeyTowards) * (PI * uKeyLight * window);
}
