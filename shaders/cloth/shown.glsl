// What of a sample is shown, averaged with the samples before (previous mean in uHistory). Needs farView.glsl.
uniform highp sampler2D uHistory;
uniform highp float uHistoryWeight;

layout(location = 0) out highp vec4 outColour;

// By how much more of the window rays found from a pixel than what they left had guessed, -1..1, on average over the times it was
// asked after (in the mean's alpha, which holds 0.5 for none): estimates go by that as it becomes known, so that rays have less to
// correct. The guess counts as one ask. A difference, since what shares a pixel does not see as much of the window: hair beside a
// body, lit by what both see on average, was up to an eighth too light.
float more = 0.0;

float windowGuess(float opening) {
  return smoothstep(0.0, 0.9, opening);
}

float windowReaches(float guess, float asks) {
  return guess + more * asks / (1.0 + asks);
}

void learnWindow(float reached, float guess, float asksBefore) {
  more = (asksBefore * more + reached - guess) / (asksBefore + 1.0);
}

vec4 historyOf(ivec2 texel) {
  if (uHistoryWeight == 0.0) return vec4(0.0);
  vec4 history = texelFetch(uHistory, texel, 0);
  more = 2.0 * history.a - 1.0;
  return history;
}

vec4 shownAfter(vec4 history, vec3 near, FarPlace far) {
  vec3 colour = (1.0 - far.share) * near;
  if (far.share > 0.0) colour += far.share * farColour(far);
  return vec4(mix(colour, history.rgb, uHistoryWeight), 0.5 + 0.5 * more);
}
