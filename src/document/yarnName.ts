import type { YarnCard } from './schema/yarnSchema.ts';

/** Provenance of a name that the designer gave: it stays as she wrote it, whatever becomes of the count. */
export const ownName = 'given by the designer';

/** "sand, cotton, 60 tex (was 8/2)": what the name was before the count, and the count it once told. */
const strayed = /^(.*), [\d.]+ tex \(was (.+)\)$/;

/** Counts as names carry them where the label says it otherwise: 8/2, Nm 4.8/1, tex 40, Tkt 75, 150 den, 6 mm, 1/64 in. */
const countInName =
  /(?:(?:Ne|NeL|NeW|Nm|lea) ?)?\d+(?:\.\d+)?\/\d+(?: in)?|(?:tex|Tkt) \d+(?:\.\d+)?|\d+(?:\.\d+)? ?(?:mm|den|dtex|tex)/;

/**
 * The card's name once its count is another: the old count in it gives way to the new label, or to the new tex and what
 * it was. Names that tell no count, and those of the designer's own, stay.
 */
export function nameOfCount(card: YarnCard, tex: number, count: string | undefined): string {
  if (card.provenance?.name === ownName) return card.name;
  const parts = strayed.exec(card.name);
  const [base, was] = parts ? [parts[1], parts[2]] : splitName(card);
  if (base === undefined || was === undefined) return card.name;
  if (count === undefined) return `${base}, ${shortTex(tex)} tex (was ${was})`;
  const system = systemOf(count);
  // Labels of the same system keep its name to themselves where the old name did: "cotton 8/2" from "Ne 8/2".
  const silent = system !== '' && systemOf(was) === '' && (parts !== null || systemOf(card.count ?? '') === system);
  const told = silent ? count.slice(system.length).trim() : count;
  return parts || card.name.endsWith(was) ? `${base} ${told}` : card.name.replace(was, told);
}

function splitName({ name, count }: YarnCard): [base: string | undefined, was: string | undefined] {
  const was = countTokens(count ?? '').find((token) => standsIn(name, token)) ?? countInName.exec(name)?.[0];
  if (was === undefined) return [undefined, undefined];
  const base = name
    .replace(was, '')
    .replace(/\(\s*\)/, '')
    .replace(/\s+/g, ' ')
    .replace(/ ,/g, ',')
    .replace(/[\s,]+$/, '')
    .trim();
  return base === '' ? [undefined, undefined] : [base, was];
}

/** What of a label may stand in a name, longest first: "Nm 20/1", "20/1", "20"; "6 mm wide", "6 mm". */
function countTokens(count: string): string[] {
  const bare = count.slice(systemOf(count).length).trim();
  const measure = /^\d+(?:\.\d+)? ?[a-z]+/.exec(bare)?.[0];
  const single = /^(\d+(?:\.\d+)?)\/1$/.exec(bare)?.[1];
  return [count, bare, measure, single].filter((token): token is string => token !== undefined && token !== '');
}

function standsIn(name: string, token: string): boolean {
  const at = name.indexOf(token);
  if (at < 0) return false;
  return !/[\w./]/.test(name[at - 1] ?? ' ') && !/[\w/]/.test(name[at + token.length] ?? ' ');
}

/** The count system that a label begins with, in letters; empty where it begins with a figure. */
function systemOf(label: string): string {
  return /^[A-Za-z]+/.exec(label)?.[0] ?? '';
}

/** Three figures: more than a hand-wound skein is ever told by. */
function shortTex(tex: number): string {
  return String(Number(tex.toPrecision(3)));
}
