import type { WeftPick } from '#document/schema/pickSchema.ts';

/** Longest repeat looked for; beyond it a weaver reads the plan rather than remembers the order. */
const LONGEST_ORDER = 256;

/** Same shed and same wefts over the same ends; the beat and the edge a shuttle enters from do not count. */
function sameWeaving(a: WeftPick, b: WeftPick): boolean {
  if (a === b) return true;
  return (
    a.lift.length === b.lift.length &&
    a.lift.every((number, i) => number === b.lift[i]) &&
    a.passes.length === b.passes.length &&
    a.passes.every((pass, i) => {
      const other = b.passes[i];
      return (
        pass.fromEnd === other.fromEnd &&
        pass.toEnd === other.toEnd &&
        pass.ends === other.ends &&
        pass.strands.length === other.strands.length &&
        pass.strands.every((id, k) => id === other.strands[k])
      );
    })
  );
}

/**
 * Picks after which the order up to and including pick `upTo` (1-based) begins again, or undefined: the shortest
 * repeat that the last picks show at least twice over, taking the one that has held longest where several have.
 */
export function orderLength(picks: readonly WeftPick[], upTo: number): number | undefined {
  let best: number | undefined;
  let bestHeld = 0;
  for (let period = 1; period <= Math.min(LONGEST_ORDER, Math.floor(upTo / 2)); period++) {
    let held = 0;
    while (held + period < upTo && sameWeaving(picks[upTo - 1 - held], picks[upTo - 1 - held - period])) held++;
    // A repeat of two that has held for ten picks says more than a run of two alike.
    if (held >= period && held + period > bestHeld) {
      best = period;
      bestHeld = held + period;
    }
  }
  return best;
}

/**
 * The pick that would come after pick `upTo` (1-based) if the order went on as woven so far; where no order shows, the
 * pick before last again, as two sheds woven turn about go on. Its beat is the sample's.
 */
export function nextInOrder(picks: readonly WeftPick[], upTo: number): WeftPick {
  const from = upTo - (orderLength(picks, upTo) ?? Math.min(2, upTo));
  return withoutBeat(picks[from]);
}

/** One throw of the first weft through the same shed, without inlay. */
export function sameLift(pick: WeftPick): WeftPick {
  const { strands, enters } = pick.passes.find((pass) => pass.fromEnd === undefined) ?? pick.passes[0];
  return { lift: [...pick.lift], passes: [{ strands: [...strands], enters, ends: 'selvedge' }] };
}

function withoutBeat(pick: WeftPick): WeftPick {
  const { beat: _beat, ...rest } = pick;
  return structuredClone(rest);
}
