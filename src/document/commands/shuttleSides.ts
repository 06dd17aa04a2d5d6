import type { WeftPass, WeftPick } from '#document/schema/pickSchema.ts';

/** Passes that carry one shuttle from edge to edge; what is laid over part of the width is entered by hand. */
function isThrow(pass: WeftPass): boolean {
  return pass.fromEnd === undefined && pass.toEnd === undefined && pass.ends === 'selvedge';
}

const shuttleOf = (pass: WeftPass) => pass.strands.join('+');
const across = (side: WeftPass['enters']): WeftPass['enters'] => (side === 'left' ? 'right' : 'left');

/** Throws of `picks` from index `from` on that enter elsewhere than where their shuttle lay: these are meant so. */
function brokenThrows(picks: readonly WeftPick[], from: number): Set<WeftPass> {
  const lies = new Map<string, WeftPass['enters']>();
  const broken = new Set<WeftPass>();
  picks.forEach((pick, index) => {
    for (const pass of pick.passes) {
      if (!isThrow(pass)) continue;
      const side = lies.get(shuttleOf(pass));
      if (index >= from && side !== undefined && side !== pass.enters) broken.add(pass);
      lies.set(shuttleOf(pass), across(pass.enters));
    }
  });
  return broken;
}

/**
 * Picks put in or taken out at index `from` (0-based) leave their shuttle on the other edge. Every later throw that
 * followed its shuttle before follows it again; throws that broke from it keep their side, and so does all after them.
 */
export function followShuttles(before: readonly WeftPick[], after: readonly WeftPick[], from: number): WeftPick[] {
  const broken = brokenThrows(before, from);
  const lies = new Map<string, WeftPass['enters']>();
  return after.map((pick, index) => {
    let changed: WeftPass[] | undefined;
    pick.passes.forEach((pass, k) => {
      if (!isThrow(pass)) return;
      const side = lies.get(shuttleOf(pass));
      const enters = index >= from && side !== undefined && !broken.has(pass) ? side : pass.enters;
      lies.set(shuttleOf(pass), across(enters));
      if (enters === pass.enters) return;
      changed ??= pick.passes.slice();
      changed[k] = { ...pass, enters };
    });
    return changed ? { ...pick, passes: changed } : pick;
  });
}
