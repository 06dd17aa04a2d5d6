/** The trade's words as the page says them. Where UK and US weavers differ, both forms stand side by side. */
export type Dialect = 'uk' | 'us';

const differing = {
  weft: ['weft', 'filling'],
  Weft: ['Weft', 'Filling'],
  Colour: ['Colour', 'Color'],
  liftPlan: ['lifting plan', 'liftplan'],
} as const;

export type DifferingWord = keyof typeof differing;

export function word(key: DifferingWord, dialect: Dialect): string {
  return differing[key][dialect === 'uk' ? 0 : 1];
}

/** `one` of a thing, `many` of it: "1 pick", "12 picks". */
export function counted(count: number, one: string, many: string, format: (value: number) => string): string {
  return `${format(count)} ${count === 1 ? one : many}`;
}

/** As a sentence begins. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
