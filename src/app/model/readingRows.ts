import { type LengthSystem, type QuantityKind, quantity } from '#app/words/numbers.ts';
import { type Dialect, word } from '#app/words/words.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';

/** A reading by name, with what each cloth has for it, as it is read (each known to within a range only); undefined where it is not forecast yet. */
export interface ReadingRow {
  readonly name: string;
  readonly unit: string;
  readonly texts: readonly (string | undefined)[];
}

interface Known {
  readonly name: string;
  readonly kind: QuantityKind;
  value(readings: Readings): number;
}

function known(dialect: Dialect): readonly Known[] {
  const weft = word('weft', dialect);
  return [
    { name: 'Picks', kind: 'perLength', value: (r) => r.picksPerCm.value },
    { name: 'Ends', kind: 'perLength', value: (r) => r.endsPerCm.value },
    { name: 'Width', kind: 'length', value: (r) => r.widthMm.value },
    { name: 'Length', kind: 'length', value: (r) => r.lengthMm.value },
    { name: 'Thickness', kind: 'thin', value: (r) => r.thicknessMm.value },
    { name: 'Weight', kind: 'areaWeight', value: (r) => r.weightGPerM2.value },
    { name: 'Stiff along', kind: 'stiffness', value: (r) => r.stiffnessNmm.along.value },
    { name: 'Stiff across', kind: 'stiffness', value: (r) => r.stiffnessNmm.across.value },
    { name: 'Warp take-up', kind: 'share', value: (r) => r.warpTakeUp.value },
    { name: `${word('Weft', dialect)} take-up`, kind: 'share', value: (r) => r.weftTakeUp.value },
    { name: 'Warp on the face', kind: 'share', value: (r) => r.face.warp },
    { name: 'Warp on the back', kind: 'share', value: (r) => r.back.warp },
    { name: `Open between warp and ${weft}`, kind: 'share', value: (r) => r.face.open },
  ];
}

/**
 * The readings in which cloths differ as far as can be read; with nothing to compare, none. What is not forecast yet
 * counts as neither alike nor different.
 */
export function differingRows(
  cloths: readonly (Readings | undefined)[],
  system: LengthSystem,
  dialect: Dialect,
): readonly ReadingRow[] {
  return known(dialect).flatMap(({ name, kind, value }) => {
    let unit = '';
    const texts = cloths.map((readings) => {
      if (!readings) return undefined;
      const shown = quantity(value(readings), kind, system);
      unit = shown.unit;
      return `≈ ${shown.text}`;
    });
    const distinct = new Set(texts.filter((text) => text !== undefined));
    return distinct.size > 1 ? [{ name, unit, texts }] : [];
  });
}
