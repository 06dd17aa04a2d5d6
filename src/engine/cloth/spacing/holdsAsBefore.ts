import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { sameValues } from '#engine/units/sameValues.ts';
import { type Hold, rowHolds } from './rowPositions.ts';

/** What holds the rows of a cloth off one another, and the cloth that it was found for. */
export interface HoldsMemory {
  holds?: { readonly of: ClothProblem; readonly found: readonly Hold[] };
}

const YARN_FACTS = ['contactWidthMm', 'contactHeightMm', 'bendingNmm2'] as const;
const THREAD_FACTS = ['endYarn', 'rowYarn', 'rowFirst', 'rowLast', 'endXMm', 'endTensionN'] as const;

function alikeButForBeat(a: ClothProblem, b: ClothProblem): boolean {
  return (
    a === b ||
    (a.rows === b.rows &&
      a.ends === b.ends &&
      a.yarns.length === b.yarns.length &&
      a.yarns.every((yarn, k) => YARN_FACTS.every((fact) => yarn[fact] === b.yarns[k][fact])) &&
      THREAD_FACTS.every((fact) => sameValues(a[fact], b[fact])) &&
      sameValues(a.drawdown.bits, b.drawdown.bits))
  );
}

/** `rowHolds`, found before where the cloth differs in its beat alone. */
export function holdsAsBefore(problem: ClothProblem, memory: HoldsMemory): readonly Hold[] {
  const { holds } = memory;
  if (holds && alikeButForBeat(holds.of, problem)) return holds.found;
  const found = rowHolds(problem);
  memory.holds = { of: problem, found };
  return found;
}
