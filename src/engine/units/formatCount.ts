import { COUNT_SYSTEMS, type CountSystem, countFromTex } from './countSystems.ts';
import { parseCount } from './parseCount.ts';
import type { Tex } from './units.ts';

/**
 * A label as the trade writes it: "Ne 8/2", "worsted 2/18", "150 den", "R 220 tex /2". The singles' count stands in it for
 * systems that label singles; where the usual order would be misread, "Nm 1 x 4" (singles x plies).
 * @param tex of the whole yarn. @param plies 1 for a single. @param digits significant digits kept, 1..15.
 * @throws RangeError where tex is not above 0 or plies not a whole number from 1.
 */
export function formatCount(tex: Tex, plies: number, system: CountSystem, digits = 4): string {
  if (!Number.isInteger(plies) || plies < 1) throw new RangeError(`Plies are a whole number from 1, not ${plies}.`);
  const { kind, plyOrder, prefix, suffix } = COUNT_SYSTEMS[system];
  const label = (text: string) => [prefix, text, suffix].filter((part) => part !== '').join(' ');
  const resultant = figures(countFromTex(tex, system), digits);
  if (plies === 1) return label(resultant);
  if (system === 'mPerKg' || system === 'ydPerLb') return `${label(resultant)} /${plies}`;
  if (kind === 'direct') return `R ${label(resultant)} /${plies}`;
  const single = figures(countFromTex(tex / plies, system), digits);
  const usual = label(plyOrder === 'singles first' ? `${single}/${plies}` : `${plies}/${single}`);
  const read = parseCount(usual);
  return read.plies === plies && read.order === plyOrder ? usual : label(`${single} x ${plies}`);
}

function figures(value: number, digits: number): string {
  // Through Number, so that 147.60 is written 147.6 and large counts are not written with an exponent.
  return String(Number(value.toPrecision(digits)));
}
