import { type DocumentProblem, problemAt } from '#document/problem.ts';
import type { WeftPass, WeftPick } from '#document/schema/pickSchema.ts';

/** First and last end that a pass covers, 1-based. */
export function passSpan(pass: WeftPass, ends: number): { from: number; to: number } {
  return { from: pass.fromEnd ?? 1, to: pass.toEnd ?? ends };
}

/** Whether the weft comes out at the edge of the cloth after this pass. */
function leavesAtEdge(pass: WeftPass, ends: number): boolean {
  const { from, to } = passSpan(pass, ends);
  return pass.enters === 'left' ? to === ends : from === 1;
}

/**
 * The passes of one pick against the warp's width and each other. In one shed, passes may lie side by side, one may
 * lie wholly within another's span (inlay on the ground pick), and neighbours that interlock or turn may share one end
 * (dovetailing); a pass that starts inside another and ends outside it is refused, since it says no order of weaving.
 */
export function checkPasses(pick: WeftPick, ends: number, pickIndex: number): DocumentProblem[] {
  const problems: DocumentProblem[] = [];
  const usable: { index: number; from: number; to: number; joins: boolean }[] = [];
  pick.passes.forEach((pass, index) => {
    const path = ['picks', pickIndex, 'passes', index];
    const { from, to } = passSpan(pass, ends);
    if (to > ends || from > ends) {
      problems.push(
        problemAt(path, `passes ends ${from} to ${to}, but the warp has ${ends}`, `stay within ends 1–${ends}`),
      );
    } else if (from > to) {
      problems.push(
        problemAt(
          path,
          `goes from end ${from} to end ${to}`,
          'put the smaller end in fromEnd, whichever side it enters',
        ),
      );
    } else {
      usable.push({ index, from, to, joins: pass.ends === 'interlock' || pass.ends === 'turn' });
      if (pass.ends === 'selvedge' && !leavesAtEdge(pass, ends)) {
        const last = pass.enters === 'left' ? to : from;
        problems.push(
          problemAt(
            path,
            `leaves the shed at end ${last}, inside the cloth, but says selvedge`,
            'say turn, interlock, slit, cut, behind or tied',
          ),
        );
      }
    }
  });
  usable.sort((a, b) => a.from - b.from || b.to - a.to);
  for (let i = 1; i < usable.length; i++) {
    for (let j = 0; j < i; j++) {
      const left = usable[j];
      const right = usable[i];
      const overlap = left.to - right.from + 1;
      if (overlap <= 0 || right.to <= left.to) continue;
      if (overlap === 1 && (left.joins || right.joins)) continue;
      problems.push(
        problemAt(
          ['picks', pickIndex, 'passes', right.index],
          `overlaps pass ${left.index + 1} on ends ${right.from} to ${left.to} without lying within it`,
          'move one of them, or lay it in a pick of its own',
        ),
      );
      break;
    }
  }
  return problems;
}
