import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import type { Structure } from './structureTypes.ts';

/** What can be set in a rule, with the words it has on screen and in errors. */
export type Param =
  | {
      readonly kind: 'whole';
      readonly words: string;
      readonly least: number;
      readonly most: number;
      readonly usual: number;
    }
  /** Over and under in turn along a pick: "2/2", "3/1/1/1". */
  | { readonly kind: 'line'; readonly words: string; readonly usual: string }
  | { readonly kind: 'choice'; readonly words: string; readonly options: readonly string[]; readonly usual: string }
  /** Whole numbers in turn: "1 2 2 3". */
  | {
      readonly kind: 'list';
      readonly words: string;
      readonly least: number;
      readonly most: number;
      readonly usual: string;
    }
  /** Rows of 0 and 1, the first woven first: "10/01". */
  | { readonly kind: 'grid'; readonly words: string; readonly usual: string };

export type Params = Readonly<Record<string, Param>>;
export type RuleValue = number | string;

/** A rule by name and what is set in it; what is left out is as usual. */
export interface StructureRule {
  readonly rule: string;
  readonly [param: string]: RuleValue;
}

/** No structure of the library has a repeat beyond this many threads a line, list or grid; it stops hostile files. */
const MOST_PLACES = 128;

/** The values of a rule, read and checked as its builder asks for them. */
export class RuleValues {
  readonly #rule: StructureRule;
  readonly #params: Params;

  /** @throws DraftError where something is set that the rule does not know. */
  constructor(rule: StructureRule, params: Params) {
    this.#rule = rule;
    this.#params = params;
    const unknown = Object.keys(rule).find((key) => key !== 'rule' && !Object.hasOwn(params, key));
    if (unknown === undefined) return;
    const known = Object.keys(params);
    const advice = known.length === 0 ? 'It has nothing to set.' : `It has ${known.join(', ')}.`;
    throw new DraftError('notation', WHOLE, `The rule "${rule.rule}" has no "${unknown}". ${advice}`);
  }

  #value(key: string): RuleValue {
    return Object.hasOwn(this.#rule, key) ? this.#rule[key] : this.#params[key].usual;
  }

  #fail(key: string, wanted: string): never {
    throw new DraftError(
      'sizes-do-not-fit',
      WHOLE,
      `${this.#params[key].words} of "${this.#rule.rule}" is ${JSON.stringify(this.#value(key))}; give ${wanted}.`,
    );
  }

  whole(key: string): number {
    const param = this.#params[key] as Extract<Param, { kind: 'whole' }>;
    const value = this.#value(key);
    if (typeof value === 'number' && Number.isInteger(value) && value >= param.least && value <= param.most)
      return value;
    return this.#fail(key, `a whole number from ${param.least} to ${param.most}`);
  }

  /** As `whole`, and even. */
  even(key: string): number {
    const value = this.whole(key);
    return value % 2 === 0 ? value : this.#fail(key, 'an even number');
  }

  /** As `whole`, and odd. */
  odd(key: string): number {
    const value = this.whole(key);
    return value % 2 === 1 ? value : this.#fail(key, 'an odd number');
  }

  choice(key: string): string {
    const { options } = this.#params[key] as Extract<Param, { kind: 'choice' }>;
    const value = this.#value(key);
    if (typeof value === 'string' && options.includes(value)) return value;
    return this.#fail(key, `one of ${options.join(', ')}`);
  }

  list(key: string): number[] {
    const { least, most } = this.#params[key] as Extract<Param, { kind: 'list' }>;
    const numbers = String(this.#value(key))
      .trim()
      .split(/[\s,]+/u)
      .map(Number);
    const good = numbers.every((n) => Number.isInteger(n) && n >= least && n <= most);
    if (good && numbers.length <= MOST_PLACES) return numbers;
    return this.#fail(
      key,
      `whole numbers from ${least} to ${most}, at most ${MOST_PLACES} of them, such as ${this.#params[key].usual}`,
    );
  }

  line(key: string): number[] {
    const numbers = String(this.#value(key)).trim().split('/').map(Number);
    const good = numbers.length % 2 === 0 && numbers.every((n) => Number.isInteger(n) && n >= 1);
    if (good && numbers.reduce((sum, n) => sum + n, 0) <= 64) return numbers;
    return this.#fail(key, 'over and under in turn, each 1 or more and 64 in all at most, such as 2/2');
  }

  /** Marks of a line along one pick. */
  marks(key: string): boolean[] {
    return this.line(key).flatMap((length, k) => Array<boolean>(length).fill(k % 2 === 0));
  }

  grid(key: string): number[][] {
    const rows = String(this.#value(key))
      .trim()
      .split('/')
      .map((row) => [...row].map(Number));
    const width = rows[0].length;
    const good = rows.every((row) => row.length === width && row.every((cell) => cell === 0 || cell === 1));
    if (good && width > 0 && width <= MOST_PLACES && rows.length <= MOST_PLACES) return rows;
    return this.#fail(key, 'rows of 0 and 1 of one length, such as 10/01');
  }
}

export const whole = (words: string, usual: number, least: number, most: number): Param => ({
  kind: 'whole',
  words,
  usual,
  least,
  most,
});
export const line = (usual: string, words = 'Line'): Param => ({ kind: 'line', words, usual });
export const choice = (words: string, ...options: readonly string[]): Param => ({
  kind: 'choice',
  words,
  options,
  usual: options[0],
});
export const list = (words: string, usual: string, least: number, most: number): Param => ({
  kind: 'list',
  words,
  usual,
  least,
  most,
});
export const grid = (words: string, usual: string): Param => ({ kind: 'grid', words, usual });

/** How a structure of one kind is made. */
export interface Family {
  readonly rule: string;
  /** The kind under which it stands in the library. */
  readonly kind: string;
  readonly params: Params;
  /** @throws DraftError where what is set makes no such structure. */
  build(values: RuleValues): Structure;
}
