/** Numbers as they are read: by the reader's own language, in cm or inches by her choice. */
export type LengthSystem = 'cm' | 'inch';

export const mmPerInch = 25.4;
export const gPerM2PerOzPerYd2 = 33.9057;

const formats = new Map<number, Intl.NumberFormat>();

/** With at most `digits` decimals; what rounds to nothing has no sign. */
export function formatNumber(value: number, digits = 0): string {
  let format = formats.get(digits);
  if (!format) {
    format = new Intl.NumberFormat(undefined, { maximumFractionDigits: digits, signDisplay: 'negative' });
    formats.set(digits, format);
  }
  return format.format(value);
}

export interface Quantity {
  readonly text: string;
  readonly unit: string;
}

export type QuantityKind = 'length' | 'thin' | 'perLength' | 'areaWeight' | 'stiffness' | 'share';

interface Rule {
  readonly unit: string;
  readonly scale: number;
  /** Decimals, at most. */
  readonly digits: number;
  /** Places that mean anything, where figures run over many sizes; absent: all. */
  readonly places?: number;
}

/** From the engine's units (mm, 1/cm, g/m², share of 1) to the reader's. */
const rules: Record<QuantityKind, Record<LengthSystem, Rule>> = {
  length: { cm: { unit: 'cm', scale: 0.1, digits: 1 }, inch: { unit: 'in', scale: 1 / mmPerInch, digits: 2 } },
  thin: { cm: { unit: 'mm', scale: 1, digits: 2 }, inch: { unit: 'in', scale: 1 / mmPerInch, digits: 3 } },
  perLength: { cm: { unit: '/cm', scale: 1, digits: 1 }, inch: { unit: '/in', scale: mmPerInch / 10, digits: 1 } },
  areaWeight: {
    cm: { unit: 'g/m²', scale: 1, digits: 0 },
    inch: { unit: 'oz/yd²', scale: 1 / gPerM2PerOzPerYd2, digits: 1 },
  },
  // Laboratories give millinewton millimetres in either system. From voile to card it runs over four powers of ten.
  stiffness: {
    cm: { unit: 'mN·mm', scale: 1000, digits: 1, places: 3 },
    inch: { unit: 'mN·mm', scale: 1000, digits: 1, places: 3 },
  },
  share: { cm: { unit: '%', scale: 100, digits: 0 }, inch: { unit: '%', scale: 100, digits: 0 } },
};

export function quantity(value: number, kind: QuantityKind, system: LengthSystem): Quantity {
  const rule = rules[kind][system];
  return { text: ruled(value, rule), unit: rule.unit };
}

function ruled(value: number, { scale, digits, places }: Rule): string {
  const scaled = value * scale;
  return formatNumber(places ? Number(scaled.toPrecision(places)) : scaled, digits);
}

/** A figure still being worked out, to two places: more of it would waver before it settles. */
export function roughQuantity(value: number, kind: QuantityKind, system: LengthSystem): Quantity {
  const rule = rules[kind][system];
  return { text: formatNumber(Number((value * rule.scale).toPrecision(2)), rule.digits), unit: rule.unit };
}

/** "5 min to 7 min"; one where both ends read alike. */
export function spanText(from: string, to: string): string {
  return from === to ? from : `${from} to ${to}`;
}

/** A guess shown as one: "6.1–7.4"; one number where both ends read alike. */
export function quantityRange(low: number, high: number, kind: QuantityKind, system: LengthSystem): Quantity {
  const rule = rules[kind][system];
  const from = ruled(low, rule);
  const to = ruled(high, rule);
  return { text: from === to ? from : `${from}–${to}`, unit: rule.unit };
}

/** "0.35 mm" or "0.014 in". */
export function thinText(mm: number, system: LengthSystem): string {
  const { text, unit } = quantity(mm, 'thin', system);
  return `${text} ${unit}`;
}

/** How much a length is short or long by, of so much of it: "12 mm" in a "metre", "0.4 in" in a "yard". */
export function slackText(
  mmPerM: number,
  system: LengthSystem,
): { readonly text: string; readonly unit: string; readonly of: string } {
  return system === 'inch'
    ? { text: formatNumber((36 * mmPerM) / 1000, 2), unit: 'in', of: 'yard' }
    : { text: formatNumber(mmPerM), unit: 'mm', of: 'metre' };
}
