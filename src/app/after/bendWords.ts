import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import { counted } from '#app/words/words.ts';
import type { BendReport } from '#engine/cloth/after/afterTypes.ts';

/** What came of a bend: how far it stands, what the hand must do for it, what the picture leaves out. */
export function bendWords(report: BendReport | undefined, system: LengthSystem): string[] {
  if (!report) return ['The cloth is being worked out.'];
  const length = (mm: number) => {
    const { text, unit } = quantity(mm, 'length', system);
    return `${text} ${unit}`;
  };
  switch (report.nothing) {
    case 'onLoom':
      return ['The taut ends hold it flat on the loom: look at the cloth off the loom.'];
    case 'offTheCloth':
      return ['Nothing is bent: no weft of these picks passes that end with ends on both sides of it.'];
    case 'noWire':
      return ['Nothing is bent: these wefts have no wire in them and would spring back.'];
    case 'tooTight': {
      const { text, unit } = quantity(report.leastRadiusMm ?? 0, 'thin', system);
      return [`Not bent: the yarn takes no radius under ${text} ${unit}. Give a wider one.`];
    }
    case 'tooSteep':
      return [
        'Not bent: the weft would stand steeper than 60°, and the cloth would be folded, not carried. Bend it less.',
      ];
    case undefined:
      return [
        `${counted(report.wefts, 'weft stands', 'wefts stand', (value) => formatNumber(value))} out by ${length(report.heightMm)}, and the cloth comes away from the table ${length(report.carriesMm)} before and after.`,
        `Bend to ${formatNumber(report.bendToDegrees)}°: it springs back from there. Its two ends come nearer by ${length(report.drawnInMm)}, which the picture leaves out.`,
      ];
  }
}
