/** A place in a document: keys and 0-based indices from the root of the file. */
export type PlacePath = readonly (string | number)[];

/** What is wrong, where, and what to do about it, in words for the person who holds the file. */
export interface DocumentProblem {
  readonly path: PlacePath;
  /** The place in words, counted from 1: "pick 12, pass 2". Empty for the file as a whole. */
  readonly where: string;
  /** One clause without a full stop. */
  readonly what: string;
  /** One clause that says how to put it right, without a full stop. */
  readonly remedy: string;
  /** The three together, one line. */
  readonly message: string;
}

export type Outcome<Value> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly problems: readonly DocumentProblem[] };

/** The value. @throws Error with the first problem's message where there is none. */
export function demand<Value>(outcome: Outcome<Value>): Value {
  if (outcome.ok) return outcome.value;
  throw new Error(outcome.problems[0].message);
}

/** Words for list entries, by the key of the list. */
const entryWords: Readonly<Record<string, string>> = {
  picks: 'pick',
  passes: 'pass',
  strands: 'strand',
  lift: 'lift entry',
  versions: 'version',
  differences: 'difference',
  knownFaults: 'known fault',
  measured: 'measurement',
  threading: 'end',
  order: 'order entry',
  tieUp: 'treadle',
  reedsDentsPerCm: 'reed',
  afterLoom: 'treatment',
  faults: 'fault',
  line: 'line',
};

/** "picks", 11, "passes", 1, "strands" -> "pick 12, pass 2, strands". */
function placeInWords(path: PlacePath): string {
  const parts: string[] = [];
  for (let i = 0; i < path.length; i++) {
    const key = path[i];
    const next = path[i + 1];
    if (typeof key === 'string' && typeof next === 'number') {
      parts.push(`${entryWords[key] ?? `${key} entry`} ${next + 1}`);
      i++;
    } else if (key === 'yarns' && typeof next === 'string') {
      parts.push(`yarn "${next}"`);
      i++;
    } else if (typeof key === 'number') {
      parts.push(`entry ${key + 1}`);
    } else {
      parts.push(key);
    }
  }
  return parts.join(', ');
}

/** The place as a JSON path, for people who edit the file by hand: $.picks[11].passes[1]. */
export function jsonPath(path: PlacePath): string {
  return path.reduce<string>((text, key) => {
    if (typeof key === 'number') return `${text}[${key}]`;
    return /^[A-Za-z_$][\w$]*$/.test(key) ? `${text}.${key}` : `${text}[${JSON.stringify(key)}]`;
  }, '$');
}

function capital(text: string): string {
  return text[0].toUpperCase() + text.slice(1);
}

export function problemAt(path: PlacePath, what: string, remedy: string): DocumentProblem {
  const where = placeInWords(path);
  const place = where === '' ? 'this document ' : `${where}: `;
  return { path, where, what, remedy, message: `${capital(place)}${what}. ${capital(remedy)}.` };
}

/** The same problems seen from a document that holds the place under `prefix`. */
export function problemsUnder(prefix: PlacePath, problems: readonly DocumentProblem[]): DocumentProblem[] {
  return problems.map((problem) => problemAt([...prefix, ...problem.path], problem.what, problem.remedy));
}
