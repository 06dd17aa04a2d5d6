import * as v from 'valibot';
import { type DocumentProblem, type Outcome, type PlacePath, problemAt } from '#document/problem.ts';

/** More than a person would read at once; the rest follow when these are mended. */
const MOST_PROBLEMS = 20;

type AnyIssue = v.BaseIssue<unknown>;

const typeWords: Readonly<Record<string, string>> = {
  number: 'a number',
  string: 'text',
  boolean: 'true or false',
  Array: 'a list',
  Object: 'a group of fields',
  undefined: 'nothing',
  null: 'null',
  NaN: 'not a number',
};

function inWords(valibotType: string): string {
  return valibotType
    .split(' | ')
    .map((part) => typeWords[part.replace(/^\(|\)$/g, '')] ?? part.replace(/^\(|\)$/g, ''))
    .join(' or ');
}

function shorten(text: string): string {
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}

function whatAndRemedy(issue: AnyIssue): [what: string, remedy: string] {
  const bar = issue.message.indexOf(' | ');
  if (issue.kind === 'validation' && bar > 0) return [issue.message.slice(0, bar), issue.message.slice(bar + 3)];
  const expected = inWords(issue.expected ?? 'something else');
  const received = shorten(inWords(issue.received));
  if (issue.type === 'strict_object' && issue.expected === 'never') {
    return ['is not a field of this format', 'remove it, or correct its spelling'];
  }
  if (issue.received === 'undefined') return ['is missing', 'add it'];
  if (issue.type === 'literal' || issue.type === 'picklist' || issue.type === 'variant') {
    return [`is ${received}`, `write ${expected}`];
  }
  return [`is ${received} where ${expected} belongs`, `put ${expected} here`];
}

/** In a union, the complaint of the branch that got furthest into the value says most. */
function deepest(issue: AnyIssue): AnyIssue {
  if (issue.type !== 'union' || !issue.issues) return issue;
  return issue.issues.find((inner) => (inner.path?.length ?? 0) > (issue.path?.length ?? 0)) ?? issue;
}

function problemFromIssue(outer: AnyIssue, prefix: PlacePath): DocumentProblem {
  const issue = deepest(outer);
  const path = (issue.path ?? []).map((item) => item.key as string | number);
  const [what, remedy] = whatAndRemedy(issue);
  return problemAt([...prefix, ...path], what, remedy);
}

type AnySchema = v.BaseSchema<unknown, unknown, AnyIssue>;

/** Checks a value of unknown origin. Problems name their place under `prefix`. The value that comes back is a copy. */
export function validate<Schema extends AnySchema>(
  schema: Schema,
  value: unknown,
  prefix: PlacePath = [],
): Outcome<v.InferOutput<Schema>> {
  const result = v.safeParse(schema, value);
  if (result.success) return { ok: true, value: result.output };
  const problems = result.issues.slice(0, MOST_PROBLEMS).map((issue) => problemFromIssue(issue, prefix));
  return { ok: false, problems };
}

/** The first problem of a single field's new value, for a command's refusal. */
export function fieldProblem(schema: AnySchema, value: unknown, path: PlacePath): DocumentProblem | null {
  const outcome = validate(schema, value, path);
  return outcome.ok ? null : outcome.problems[0];
}
