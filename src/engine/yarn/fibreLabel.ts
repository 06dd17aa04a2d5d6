import type { CountSystem } from '#engine/units/countSystems.ts';
import { type ParsedCount, parseCount } from '#engine/units/parseCount.ts';
import { FIBRE_NAMES, fibreNameOf } from './fibres.ts';
import type { OwnYarnProblem } from './ownYarnTypes.ts';

/** What a bare "8/4" counts, by fibre (common practice). Wool is left out: it is sold by Nm and by worsted count alike. */
const USUAL_SYSTEM: Readonly<Record<string, CountSystem>> = {
  cotton: 'Ne',
  viscose: 'Ne',
  linen: 'linenLea',
  silk: 'spunSilk',
};

/** A label that names no count system is read by the fibre's usual one. @throws CountError */
export function labelRead(label: string, fibre = ''): ParsedCount & { readonly assumed: boolean } {
  const usual = USUAL_SYSTEM[fibreNameOf(fibre) ?? ''];
  try {
    return { ...parseCount(label), assumed: false };
  } catch (error) {
    if (usual === undefined) throw error;
    return { ...parseCount(label, usual), assumed: true };
  }
}

/** Told of a fibre that no figures are known for; nothing of one that is still being written. */
export function unknownFibre(fibre = ''): OwnYarnProblem | undefined {
  const named = fibre.trim();
  const begun = FIBRE_NAMES.some((name) => name.startsWith(named.toLowerCase()));
  if (begun || fibreNameOf(named) !== undefined) return undefined;
  return {
    at: ['fibre'],
    what: `no figures are known for the fibre "${named}"`,
    remedy: `write the nearest of ${FIBRE_NAMES.join(', ')}, or leave it empty; meanwhile anything from nylon to cotton is allowed for`,
    stops: false,
  };
}
