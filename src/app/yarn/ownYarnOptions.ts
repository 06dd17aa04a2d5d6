/** What the choices of the form mean, with the words for each; the empty one is "not tried". */
type Options = readonly (readonly [value: string, words: string])[];

export const kindOptions: Options = [
  ['round', 'yarn, cord or wire'],
  ['strip', 'strip, ribbon or film'],
];
export const scaleOptions: Options = [
  ['1', 'whole grams'],
  ['0.1', 'tenths of a gram'],
  ['0.01', 'hundredths of a gram'],
];
export const gripOptions: Options = [
  ['', 'not tried'],
  ['none', 'does not give'],
  ['low', 'gives a little'],
  ['medium', 'gives'],
  ['high', 'flattens easily'],
];
export const stretchOptions: Options = [
  ['', 'not tried'],
  ['none', 'does not stretch'],
  ['some', 'stretches a little'],
  ['much', 'stretches much'],
];
export const hangOptions: Options = [
  ['', 'not tried'],
  ['limp', 'hangs limp'],
  ['usual', 'hangs in a curve'],
  ['stiff', 'stands out stiff'],
  ['wire', 'stays as bent: wire in it'],
];
export const hairOptions: Options = [
  ['', 'not looked at'],
  ['none', 'none'],
  ['low', 'a trace'],
  ['medium', 'some'],
  ['high', 'hairy'],
  ['halo', 'a halo of long hairs'],
  ['pile', 'velvet pile'],
  ['loops', 'loops'],
  ['frayed edge', 'frayed edges'],
];
