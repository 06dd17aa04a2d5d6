// The ray that a pixel sends to the light in this sample. Needs encode.glsl, view.glsl, roomRay.glsl and plies.glsl.
uniform highp sampler2D uId;
uniform highp sampler2D uDepth;
uniform highp sampler2D uNormal;
uniform highp sampler2D uAxis;

struct LightRay {
  bool isAsked;  // the pixel asks after a light
  bool isSent;   // what faces away from the light is dark without a ray
  int kind;
  int index;
  int owner;     // the thread that it begins on; -1: hair
  vec3 origin;
  vec3 direction;
};

LightRay lightRay(ivec2 pixel) {
  LightRay r = LightRay(false, false, KIND_NONE, 0, -1, vec3(0.0), vec3(0.0));
  ivec2 texel = ivec2(gl_FragCoord.xy);
  int asked = lightAsked(pixel);
  if (asked == ASKS_NOTHING) return r;
  // All at once, so that the fetches overlap.
  vec4 id = texelFetch(uId, texel, 0);
  vec4 depthBytes = texelFetch(uDepth, texel, 0);
  vec4 normalBytes = texelFetch(uNormal, texel, 0);
  decodeId(id, r.kind, r.index);
  if (r.kind == KIND_NONE) return r;
  Ray ray = viewRay(gl_FragCoord.xy);
  vec3 normal = seenSide(decodeNormal(normalBytes), ray.direction);
  float depth = decodeDepth(depthBytes);
  vec3 at = ray.origin + depth * ray.direction;
  vec2 sequence = lightSequence(pixel);
  r.direction = lightDirection(sequence, normal, asked);
  int owner = ownerOf(r.kind, r.index);
#ifdef HAIR
  float swell;
  vec3 axis = decodeAxis(texelFetch(uAxis, texel, 0), swell);
  bool ofHair = isHair(swell);
  if (ofHair) {
    ray = hairRay(gl_FragCoord.xy);
    at = ray.origin + depth * ray.direction;
  }
  bool fromHair = ofHair && !hairIsStrand(int(threadTexel(owner).w));
  // Of the room hair takes the estimate.
  if (fromHair && asked == ASKS_ROOM) return r;
#else
  const bool fromHair = false;
  const bool ofHair = false;
#endif
  r.isAsked = true;
  r.owner = ofHair ? -1 : owner;
#ifdef LOBED
  if (asked == ASKS_ROOM && asksByFace(int(threadTexel(owner).w))) {
#ifndef HAIR
    float swell;
    vec3 axis = decodeAxis(texelFetch(uAxis, texel, 0), swell);
#endif
    ThreadPlace place = threadPlaceAt(r.kind, r.index, at, normal, axis, swell);
    Optics optics = opticsAt(strandTexel(place, texelFetch(uMaterialTable, tableAt(place.material * MATERIAL_TEXELS), 0)));
    vec3 tangent = fibreTangent(axis, normal, ofHair ? 0.0 : optics.fibreAngle);
    if (asksByLobe(optics)) r.direction = lobeRoomDirection(sequence, optics, normal, tangent, -ray.direction);
    if (optics.kind != SURFACE_FIBRE) {
      vec3 leant = normal;
      leanFacets(place, optics, leant, tangent);
      r.direction = mirrorDirection(sequence, towardsEye(leant, ray.direction), -ray.direction, optics.surfaceWidth);
    }
  }
#endif
  r.isSent = fromHair || dot(r.direction, normal) > 0.0;
  // Far enough off the thread that rounding does not put the start inside it.
  r.origin = at + START_OFF_MM * normal;
  return r;
}

#ifdef HAIR_MEDIUM
float hairDepthOn(LightRay r, ivec2 pixel) {
  float depth = hairDepthTowards(r.origin, r.direction, uvec3(uvec2(pixel), (uint(uSample) << 8u) + 113u));
  if (r.kind == KIND_EXTRA) depth += hairDepthOfExtra(r.index, r.origin, r.direction);
  return depth;
}
#endif
