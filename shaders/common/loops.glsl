// Loops are bounded by constants; a uniform that never binds keeps compilers from unrolling them. Frames take as long
// either way, but programs compile in about half the time (measured on one desktop driver: 0.6 s against 1.2 s).
#ifndef LOOP
uniform highp int uLoopMost;
#define LOOP(n) min(n, uLoopMost)
#endif

// Small loops of surfaces are unrolled, which takes 0.3 to 0.4 ms off a frame of strips or of ruled film; but not in the reference, nor
// where both are in one program: it would take half as long again to compile.
#if defined(EYE_ONLY) || (defined(RELIEF) && defined(FACETS))
#define LOOPS_FEW
#define FEW(n) LOOP(n)
#else
#define FEW(n) n
#endif
