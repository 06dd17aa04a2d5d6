// Light on threads themselves, and on strands as thick as threads. Needs lit.glsl and what shade.frag.glsl knows of a pixel's rays.

// Sky seen between touching round threads, by how far a surface faces out of the cloth and how high it lies: 1 at the
// crown, 0.76 at 45 degrees, 0.28 near the groove (exact values for touching cylinders on a plane, computed).
float openingAt(float level, vec3 normal, float side) {
  float facing = max(0.0, side * normal.z);
  return (0.1 + 0.9 * facing * (1.35 - 0.35 * facing)) * mix(0.3, 1.0, smoothstep(-0.7, 0.6, side * level));
}

#ifdef STRANDS
// Of light as it is over the cloth, what pile passes on to its core: as rays find.
const float PILE_ON_CORE = 0.82;
// Pile passes light on from lock to lock, and so more of it to its core than a thread does that faces it once.
const float PILE_AROUND = 1.37;
#endif


vec3 shadeBody(Seen s, Ray ray) {
  ivec2 texel = ivec2(gl_FragCoord.xy);
  vec3 smoothNormal = s.normal;
  ThreadPlace place = threadPlaceAt(s.kind, s.index, s.at, smoothNormal, s.axis, s.swell);
  YarnSurface yarn = yarnSurface(place, pixelMmAt(s.depth));
  layLeaf(yarn, place, s.at);
  leanSurface(yarn, place);
  Optics optics = yarn.optics;
  vec3 rho = yarn.reflectance;
  vec3 n = towardsEye(yarn.normal, ray.direction);
  vec3 t = normalize(yarn.tangent - dot(yarn.tangent, n) * n);
  vec3 toEye = -ray.direction;
  ivec2 pixel = ivec2(gl_FragCoord.xy + uPixelOffset);
  ScatterView view = scatterView(optics, n, t, toEye, 0.0);

  // The room: what the surface returns of its light, by the light's direction for film, by its mean for fibres.
  vec3 through;
  Scattered albedo = scatterAlbedo(optics, rho, view, through);
#ifdef CLEAR
  // What goes straight on through a clear thread is met in other samples; in these the rest stands for itself.
  bool clear = isClear(place.material);
  float slant = abs(dot(smoothNormal, ray.direction));
  if (clear) through *= 1.0 - looksBehind(place.material, slant, optics.eta);
#endif
  vec3 all = albedo.surface + albedo.volume + through;
  // What plies and bundles of fibres hide of the light, they light by one another: white yarn loses none.
  vec3 hidden = yarn.open / (1.0 - all * (1.0 - yarn.open));
#ifdef WITH_FACETS
  bool mirrors = optics.kind != SURFACE_FIBRE;
#else
  const bool mirrors = false;
#endif
  float side = ray.direction.z < 0.0 ? 1.0 : -1.0;
  float opening = openingAt(s.level, smoothNormal, side);
#ifdef HAIR
  float free = isHair(s.swell) ? 1.0 : throughPile(place.material, place.radius);
  opening *= free;
#endif
  // Of film, what its grating leaves for the mirror.
  vec3 rest = vec3(1.0);
  vec3 orders = vec3(0.0);
#ifdef GRATINGS
  if (optics.gratingPitchUm > 0.0) orders = albedo.surface * roomInOrders(optics.gratingPitchUm, n, t, toEye, rest);
#endif
  vec3 room = albedo.volume * skyIrradiance(n) + albedo.surface * skyInLobe(surfaceLobeMean(n, t, view.fibre));
#ifdef WITH_FACETS
  if (mirrors) room = albedo.surface * rest * skyRadiance(reflect(ray.direction, n)) + through * SKY_MEAN;
#endif
  // Coloured light between threads: each bounce takes the colour again (A rho / (1 - k rho (1 - A))).
  vec3 between = uSkyLight * opening / (1.0 - 0.8 * all * (1.0 - opening));
  room *= between;
  orders *= between;
#ifdef STRANDS
  // Where pile hides room and window from its core, it is lit by that pile.
  if (isPile(place.material)) room += PILE_ON_CORE * (1.0 - free) * all * neighbourRadiance(rho, false, vec3(0.0), side);
#endif

  float asks = float(windowAsksBefore(pixel));
  vec4 told = uLit == 0 ? vec4(0.0) : texelFetch(uLight, texel, 0);
  int light = int(bytesOf(told).x);
  int asked = light == LIGHT_NOT_ASKED ? ASKS_NOTHING : lightAsked(pixel);
  vec3 direction = uKeyTowards;
  vec2 sequence = lightSequence(pixel);
  if (asked != ASKS_NOTHING) direction = lightDirection(sequence, smoothNormal, asked);
  // Of a lobe narrower than the window, where in it the ray went is noise; whether it arrived is what it was sent for.
  float windowTilt = 0.25 * uKeyHalfAngle;
  bool again = asked == ASKS_WINDOW && !mirrors && optics.surfaceWidth >= windowTilt;
#ifdef LOBED
  // The walk to the light knows of no single fibres.
  Optics bundled = optics;
  bundled.surfaceWidth = yarn.lobe;
  vec3 lobeTangent = vec3(0.0);
  bool byLobe = asked == ASKS_ROOM && asksByLobe(optics);
  if (byLobe) {
    lobeTangent = fibreTangent(s.axis, smoothNormal, optics.fibreAngle);
    direction = lobeRoomDirection(sequence, bundled, smoothNormal, lobeTangent, toEye);
  }
  again = again || byLobe;
#endif
  // The window, here as one direction whose width widens the lobe: uniform over a cap, a quarter of its half angle in
  // the half vector's inclination. Then what comes from where the pixel's ray went: in a loop of two turns 0.4 ms slower.
  vec3 windowWhole = vec3(0.0);
  vec3 found = vec3(0.0);
#ifdef WITH_FACETS
  if (mirrors) windowWhole = windowMirrored(optics, albedo.surface, n, t, toEye, view.spread);
  else
#endif
  {
    Scattered f = scatterFibre(optics, rho, view, uKeyTowards, windowTilt);
    windowWhole = (f.surface + f.volume) * (PI * uKeyLight * max(0.0, dot(n, uKeyTowards)));
    if (again) {
      f = scatterFibre(optics, rho, view, direction, 0.0);
      found = (f.surface + f.volume) * max(0.0, dot(n, direction));
    }
  }
  float guess = windowGuess(opening);
  vec3 window = windowWhole * windowReaches(guess, asks) + orders;
#ifdef CLEAR
  if (clear) hidden /= 1.0 - goesOn(place.material, slant);
#endif
  if (asked == ASKS_NOTHING) return hidden * (room + window);

  // A ray's answer corrects the estimate by as much as they differ, times the samples it speaks for: the mean over
  // samples is the rays' alone, and the first of them already look like the last.
  bool open = light == LIGHT_OPEN;
  // Share of the light that hair on the way lets through.
  float passes = 1.0;
#ifdef HAIR
  passes = told.y * throughStray(place.material, place.radius);
#endif
  vec3 answer;
  if (asked == ASKS_WINDOW) {
    learnWindow(open ? passes : 0.0, guess, asks);
    // Of the samples that this ray speaks for, those still to come estimate by what it found.
    float before = float(uSample % ASK_EVERY + 1) / float(ASK_EVERY);
    vec3 estimate = mix(windowWhole * windowReaches(guess, asks + 1.0), window - orders, before);
#ifdef CLEAR
    // So few samples see a clear thread's own light that its difference would be noise.
    if (clear) return hidden * (room + orders + windowWhole * windowReaches(guess, asks + 1.0));
#endif
    vec3 whole = again ? PI * uKeyLight * found : windowWhole;
    answer = (open ? passes * whole : vec3(0.0)) - estimate;
  } else {
    // Rays are spread about the section's normal; a bent normal weighs them anew. What it would throw below the section's
    // own surface is thrown back up: cosines spread about one normal keep (1 + cos of the bend) / 2 about the other.
    float kept = 0.5 + 0.5 * dot(n, smoothNormal);
    vec3 weight = all * (min(2.0, max(0.0, dot(n, direction)) / max(dot(smoothNormal, direction), 0.05)) / kept);
#ifdef LOBED
    if (byLobe) {
      float pdf = max(1e-4, lobeRoomPdf(bundled, smoothNormal, lobeTangent, toEye, direction));
      weight = min(vec3(4.0), found / pdf) / kept + through;
    }
#endif
    // What it is on average.
    vec3 usual = all;
#ifdef WITH_FACETS
    if (mirrors) {
      weight = albedo.surface * rest + through;
      usual = weight;
      direction = mirrorDirection(sequence, n, toEye, optics.surfaceWidth);
    }
#endif
    int met = light - LIGHT_MATERIAL;
    vec3 incoming = open
      ? vec3(uSkyLight * skyRadiance(direction))
      : neighbourRadiance(meanReflectance(met), mirrorsLight(met), direction, side);
#ifdef HAIR
    vec3 hairs = neighbourRadiance(rho, false, direction, side);
#ifdef STRANDS
    if (isPile(place.material)) hairs *= PILE_AROUND;
#endif
    incoming = mix(hairs, incoming, passes);
#endif
    // Where light is as expected a weight other than usual is noise, and left out.
    answer = weight * (incoming - room / max(usual, 1e-4));
  }
  return hidden * (room + window + float(ASK_EVERY) * answer);
}
