import { COUNT_SYSTEMS, type CountSystem, type PlyOrder, texFromCount } from './countSystems.ts';
import type { Tex } from './units.ts';

export interface ParsedCount {
  /** Of the whole yarn, plies together; twist take-up is not added. */
  readonly tex: Tex;
  /** 1 where the label does not say. */
  readonly plies: number;
  readonly system: CountSystem;
  /** How a plied label was read; absent where the label leaves no choice. */
  readonly order?: PlyOrder;
}

/** A count label that cannot be read: what, where (character from 1) and what to write instead. */
export class CountError extends Error {
  override readonly name = 'CountError';
  readonly label: string;
  readonly character: number;

  constructor(label: string, character: number, message: string) {
    super(`"${label}", character ${character}: ${message}`);
    this.label = label;
    this.character = character;
  }
}

const NAMES: readonly (readonly [RegExp, CountSystem])[] = [
  [/^dtex$|^decitex$/i, 'dtex'],
  [/^tex$/i, 'tex'],
  [/^d(en(ier)?)?$|^td$/i, 'denier'],
  [/^nm$|^metric$/i, 'Nm'],
  [/^nec?$|^cotton$/i, 'Ne'],
  [/^(spun ?)?silk$/i, 'spunSilk'],
  [/^worsted$|^nek$/i, 'worsted'],
  [/^(linen )?lea$|^linen$|^nel$/i, 'linenLea'],
  [/^(woollen )?run$/i, 'woollenRun'],
  [/^(woollen )?cut$/i, 'woollenCut'],
  [/^(yorkshire )?skeins?$|^ysw$/i, 'yorkshireSkein'],
  [/^galashiels( cut)?$|^gala$/i, 'galashiels'],
  [/^m ?\/ ?kg$/i, 'mPerKg'],
  [/^(yds?|yards?) ?\/ ?lb$|^ypp$/i, 'ydPerLb'],
];

const NUMBER = String.raw`(\d+(?:[.,]\d+)?)`;
const UNIT_WORD = `([a-z]+(?: [a-z]+)?(?: ?/ ?(?:kg|lb))?)`;
/** [R] [system] number[s] [system] [/ or x number[s]] [system]. */
const LABEL = new RegExp(
  String.raw`^\s*(R\s*(?=\d)|R\s+)?(?:${UNIT_WORD}\s+|${UNIT_WORD}(?=\d))?${NUMBER}(?:s\b)?\s*${UNIT_WORD}?\s*(?:([/x×])\s*${NUMBER}(?:s\b)?\s*)?${UNIT_WORD}?\s*$`,
  'i',
);
/** "f48" or "/ 60-120 fil" after the count: filaments, which do not change the weight. */
const FILAMENTS = /\s*(?:f\s*\d+(?:\s*[-–]\s*\d+)?|\/\s*\d+(?:\s*[-–]\s*\d+)?\s*fil(?:aments?)?)\s*$/i;
const LONGEST_LABEL = 80;
/** "230 m/100 g", "125 m / 50 g". */
const PER_BALL = /^\s*(\d+(?:[.,]\d+)?)\s*m\s*\/\s*(\d+)\s*g\s*$/i;
/** Words that name a finish or a fibre beside the count system. */
const BESIDE = /^(pearl|perle|mercerised|mercerized|combed|carded|wool|merino|mohair|yarn)$/i;
const PER = /\s+per\s+/i;
const WRAPS = /\b(wpi|wpc|wraps)\b/i;

/**
 * Reads a count as labels print it: "8/2", "2/18", "Nm 28/2", "Ne 20/2", "150 den", "167 dtex f48", "R 220 tex /2",
 * "110 tex x 2", "1800 yd/lb", "230 m/100 g", "9s Galashiels".
 *
 * Plies: "x" always stands before the plies; after "R ... tex" (resultant, ISO 1139) "/" names plies of which the weight
 * is already the sum. Else the system's usual order holds (US cotton 8/2, British worsted 2/18), unless that would give
 * broken plies, or plies more than twice the count where the other order would not: "Nm 28/2" is 28s in two plies.
 * @param system taken where the label names none.
 * @param order overrides the usual order.
 * @throws CountError with the character and what was expected.
 */
export function parseCount(label: string, system?: CountSystem, order?: PlyOrder): ParsedCount {
  if (label.length > LONGEST_LABEL) {
    throw new CountError(
      label.slice(0, LONGEST_LABEL),
      LONGEST_LABEL + 1,
      `expected at most ${LONGEST_LABEL} characters.`,
    );
  }
  const perBall = PER_BALL.exec(label.replace(PER, '/'));
  if (perBall) {
    const metresPerKg = (1000 * toNumber(perBall[1])) / toNumber(perBall[2]);
    return { tex: texOf(label, metresPerKg, 'mPerKg'), plies: 1, system: 'mPerKg' };
  }
  if (WRAPS.test(label)) {
    throw new CountError(
      label,
      label.search(WRAPS) + 1,
      'wraps say how wide a yarn lies, not how heavy it is. Give a weight, or wraps together with the fibre.',
    );
  }
  const match = LABEL.exec(label.replace(FILAMENTS, '').replace(PER, '/'));
  if (!match) throw unreadable(label);
  const [, resultant, before, joined, first, between, sign, second, after] = match;
  const named = [before ?? joined, between, after].filter((word) => word !== undefined);
  // Where R, for resultant, stands alone it is of tex (ISO 1139).
  const found = systemOf(label, named, resultant === undefined ? system : 'tex');

  const a = toNumber(first);
  if (second === undefined) return { tex: texOf(label, a, found), plies: 1, system: found };
  const b = toNumber(second);
  const kind = COUNT_SYSTEMS[found].kind;
  const place = label.lastIndexOf(second) + 1;
  if (sign !== '/') {
    checkPlies(label, b, place);
    return { tex: texOf(label, a, found) * b, plies: b, system: found };
  }
  if (resultant !== undefined || kind === 'direct' || found === 'mPerKg' || found === 'ydPerLb') {
    checkPlies(label, b, place);
    return { tex: texOf(label, a, found), plies: b, system: found };
  }
  const usual = order ?? likelyOrder(a, b, COUNT_SYSTEMS[found].plyOrder);
  const [count, plies] = usual === 'singles first' ? [a, b] : [b, a];
  checkPlies(label, plies, usual === 'singles first' ? place : label.indexOf(first) + 1);
  return { tex: texOf(label, count, found) * plies, plies, system: found, order: usual };
}

function likelyOrder(a: number, b: number, usual: PlyOrder): PlyOrder {
  const other: PlyOrder = usual === 'singles first' ? 'plies first' : 'singles first';
  const [count, plies] = usual === 'singles first' ? [a, b] : [b, a];
  if (!Number.isInteger(plies)) return other;
  return plies > 2 * count && Number.isInteger(count) ? other : usual;
}

function systemNamed(word: string): CountSystem | undefined {
  return NAMES.find(([pattern]) => pattern.test(word.trim()))?.[1];
}

function systemOf(label: string, words: readonly string[], fallback: CountSystem | undefined): CountSystem {
  const systems = new Set<CountSystem>();
  for (const word of words) {
    const whole = systemNamed(word);
    // "Ne cotton", "pearl cotton", "lea linen": each word by itself.
    const parts = whole
      ? []
      : word
          .trim()
          .split(' ')
          .filter((part) => !BESIDE.test(part));
    for (const part of parts) {
      const known = systemNamed(part);
      if (!known) {
        throw new CountError(
          label,
          Math.max(label.indexOf(part), 0) + 1,
          `"${part}" is no count system known here. Use tex, dtex, den, Nm, Ne, worsted, lea, run, cut, skein, ` +
            'Galashiels, m/kg, m/100 g or yd/lb.',
        );
      }
      systems.add(known);
    }
    if (whole) systems.add(whole);
  }
  if (systems.size > 1) throw new CountError(label, 1, 'two count systems are named. Keep one.');
  const [only] = systems;
  const found = only ?? fallback;
  if (found === undefined) {
    throw new CountError(label, 1, `which count system? Write, for instance, "Ne ${label.trim()}" for cotton.`);
  }
  return found;
}

function texOf(label: string, count: number, system: CountSystem): Tex {
  if (count > 0) return texFromCount(count, system);
  throw new CountError(label, label.search(/\d/) + 1, 'a count is above 0.');
}

function checkPlies(label: string, plies: number, character: number): void {
  if (Number.isInteger(plies) && plies >= 1) return;
  throw new CountError(label, character, `${plies} plies cannot be; expected a whole number from 1.`);
}

function unreadable(label: string): CountError {
  const digit = label.search(/\d/);
  if (digit < 0) return new CountError(label, 1, 'expected a number, such as "Ne 8/2" or "150 den".');
  const rest = /^[\s\S]*?\d+(?:[.,]\d+)?/.exec(label);
  const at = rest ? rest[0].length + 1 : digit + 1;
  return new CountError(label, at, 'expected a number with its count system and plies, such as "Ne 8/2" or "150 den".');
}

function toNumber(digits: string): number {
  return Number(digits.replace(',', '.'));
}
