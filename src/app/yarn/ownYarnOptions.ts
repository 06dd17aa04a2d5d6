import type { OwnYarnKind } from '#engine/yarn/ownYarnTypes.ts';

/** What the choices of the form mean, with the words for each; the empty one is "not tried". */
type Options = readonly (readonly [value: string, words: string])[];

/** In the order of the shelf: yarns, cords and wires, strips. */
export const kindOptions: readonly (readonly [OwnYarnKind, string])[] = [
  ['spun', 'spun yarn'],
  ['filament', 'shiny filament yarn'],
  ['hairy', 'brushed or hairy yarn'],
  ['pile', 'chenille: velvet pile'],
  ['loops', 'bouclé: loops'],
  ['gimp', 'gimp: small close loops'],
  ['cord', 'braided cord'],
  ['line', 'clear line'],
  ['wire', 'bare wire'],
  ['cloth', 'strip of woven cloth'],
  ['jersey', 'strip of jersey'],
  ['felt', 'strip of felt'],
  ['ribbon', 'ribbon'],
  ['net', 'strip of net or tulle'],
  ['sheer', 'strip of organza or voile'],
  ['film', 'strip of film or foil'],
  ['hologram', 'holographic strip'],
  ['paper', 'strip of paper or card'],
];
export const shineOptions: Options = [
  ['', 'not looked at'],
  ['matte', 'dull'],
  ['satin', 'soft sheen'],
  ['bright', 'bright shine'],
  ['metal', 'metal'],
  ['film', 'film or foil'],
  ['hologram', 'rainbow that moves'],
  ['clear', 'clear, see-through'],
];
export const otherSideOptions: Options = [
  ['', 'looks alike'],
  ['own', 'looks otherwise'],
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
