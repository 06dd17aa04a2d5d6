// Loops are bounded by constants; a uniform that never binds keeps compilers from unrolling them. Frames take as long
// either way, but programs compile in about half the time (measured on one desktop driver: 0.6 s against 1.2 s).
uniform highp int uLoopMost;
#define LOOP(n) min(n, uLoopMost)
