// Loops are bounded by constants, but a compiler that sees the constant unrolls the walk into more code than a GPU's
// instruction cache holds. A uniform that never binds keeps loops loops.
#ifdef UNROLL
#define LOOP(n) (n)
#else
uniform highp int uLoopMost;
#define LOOP(n) min(n, uLoopMost)
#endif
