/** One of the fibres of a yarn, and how much of its fibre it is, 0..1. */
export interface FibrePart {
  readonly fibre: string;
  readonly share: number;
}

/** Words for what a yarn may be made of, and our name for it. Blends that have a name of their own come first. */
const partWords: readonly (readonly [RegExp, string])[] = [
  [/stainless steel|steel/, 'metal'],
  [/copper|silver|brass|\bwires?\b/, 'metal'],
  [/mohair|alpaca/, 'mohair'],
  [/merino|\bwool|shetland|felt/, 'wool'],
  [/\bsilk/, 'silk'],
  [/cottolin|cotton|jersey|denim/, 'cotton'],
  [/linen|flax|hemp|ramie/, 'linen'],
  [/jute|sisal|coir/, 'jute'],
  [/raffia|leaf fibre|paper|\bcard\b/, 'paper'],
  [/lyocell/, 'lyocell'],
  [/viscose|rayon|modal/, 'viscose'],
  [/acetate/, 'acetate'],
  [/nylon|polyamide/, 'nylon'],
  [/polyester|\bpet\b/, 'polyester'],
  [/acrylic/, 'acrylic'],
  [/elastane/, 'elastane'],
  [/polyurethane/, 'elastane'],
  [/polyethylene|ldpe|plastic/, 'polyethylene'],
  [/polypropylene/, 'polypropylene'],
  [/\bpvc\b|vinyl/, 'pvc'],
  [/aramid/, 'aramid'],
  [/glass/, 'glass'],
];

interface Found {
  readonly at: number;
  readonly fibre: string;
}

function fibresNamed(text: string): Found[] {
  const found: Found[] = [];
  for (const [words, fibre] of partWords) {
    for (const match of text.matchAll(new RegExp(words, 'g'))) {
      const at = match.index;
      if (!found.some((other) => other.at === at)) found.push({ at, fibre });
    }
  }
  return found.sort((a, b) => a.at - b.at);
}

/**
 * The fibres that a description names and their shares, in its order: "60 % cotton, 40 % linen", "silk + stainless steel",
 * "cotton jersey (often 5% elastane)". A share stands before its fibre; what none is given for divides the rest evenly.
 * Of "cotton or silk" the first is taken. Empty where no word is known.
 */
export function fibreParts(description: string): readonly FibrePart[] {
  // What stands after "or" is another yarn.
  const text = description.toLowerCase().replace(/\bor\b[^,;+(]*/g, '');
  const named = fibresNamed(text);
  const shares = new Map<string, number | undefined>();
  named.forEach(({ at, fibre }, k) => {
    const before = text.slice(k === 0 ? 0 : named[k - 1].at, at);
    const percent = /(\d+(?:\.\d+)?) ?%[^%]*$/.exec(before);
    const share = percent ? Number(percent[1]) / 100 : undefined;
    if (!shares.has(fibre)) shares.set(fibre, share);
  });
  const given = [...shares.values()].reduce<number>((sum, share) => sum + (share ?? 0), 0);
  const open = [...shares.values()].filter((share) => share === undefined).length;
  const each = open > 0 ? Math.max(0, 1 - given) / open : 0;
  const scale = open > 0 && given <= 1 ? 1 : 1 / Math.max(given, 1e-9);
  return [...shares].map(([fibre, share]) => ({ fibre, share: (share ?? each) * scale }));
}
