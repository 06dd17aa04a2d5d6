import { formatNumber, type LengthSystem, mmPerInch } from '#app/words/numbers.ts';
import { type Dialect, word } from '#app/words/words.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { metresPerLength } from './ownYarnForm.ts';
import { rangedWords, rangeWords } from './rangedWords.ts';
import { surfaceFigures } from './surfaceWords.ts';

export interface SourceRow {
  /** Field of the card; of readings that were set aside, none. */
  readonly field?: keyof YarnCard;
  readonly name: string;
  readonly figure: string;
  /** Where it comes from, in a few words. */
  readonly from: string;
  /** It is not known otherwise than by rule or guess. */
  readonly guess: boolean;
}

const gives: Readonly<Record<YarnCard['compressibility'], string>> = {
  none: 'does not give',
  low: 'gives a little',
  medium: 'gives',
  high: 'flattens easily',
};

/** Single figures of a scale: guesses of these say so. Ranges show it of themselves, and plies are whole. */
const measurable = new Set([
  'tex',
  'stripWidthMm',
  'gaugeMm',
  'contactWidthMm',
  'freeWidthMm',
  'packingFraction',
  'fibreDensityGPerCm3',
]);

/** Words of the cards' own shorthand for a reader. */
function inWords(provenance: string): string {
  return provenance
    .replace(/^read\b/, 'read in a published source')
    .replace(/^computed\b(?! from)/, 'computed from other figures')
    .replace(/\bE x I of the section\b/, 'a beam of its section and stiffness')
    .replace(
      /\bbeam-derived: fibres free, to 6x free; multiplier from memory of bending tests\b/,
      'its fibres bending each by itself, to six times that',
    )
    .replace(/^from memory\b/, 'from memory of handbooks, not checked')
    .replace(/^wraps: /, 'by wraps on a ruler, ');
}

/** Every figure of a yarn that mechanics or picture use, with its range and where it comes from. */
export function sourceRows(card: YarnCard, dialect: Dialect, system: LengthSystem): readonly SourceRow[] {
  const { provenance = {}, ranges = {} } = card;
  const rows: SourceRow[] = [];
  const row = (key: keyof YarnCard, name: string, figure: string | undefined) => {
    if (figure === undefined) return;
    const from = provenance[key];
    const guess = from === undefined || !/^(read|measured|counted|seen|chosen|wraps: read|from its label)/.test(from);
    const about = guess && measurable.has(key) && !figure.startsWith('≈');
    rows.push({
      field: key,
      name,
      figure: about ? `≈ ${figure}` : figure,
      from: from === undefined ? 'not said' : inWords(from),
      guess,
    });
  };
  const inches = system === 'inch';
  const thin = inches ? { scale: 1 / mmPerInch, unit: 'in' } : { scale: 1, unit: 'mm' };
  const mm = (value: number | undefined, range?: readonly [number, number]) =>
    value === undefined ? undefined : `${rangedWords(value, range, thin.scale)} ${thin.unit}`;
  row('tex', 'Count', `${rangedWords(card.tex, ranges.tex)} tex`);
  row('plies', 'Plies', formatNumber(card.plies));
  row('stripWidthMm', 'Width laid flat', mm(card.stripWidthMm, ranges.stripWidthMm));
  row('gaugeMm', 'Thickness laid flat', mm(card.gaugeMm, ranges.gaugeMm));
  row('contactWidthMm', 'Width where pressed', mm(card.contactWidthMm, ranges.contactWidthMm));
  row('freeWidthMm', 'Width lying free', mm(card.freeWidthMm, ranges.freeWidthMm));
  row('packingFraction', 'Fibre in its section', `${rangedWords(card.packingFraction, ranges.packingFraction, 100)} %`);
  row('fibreDensityGPerCm3', 'Density of the fibre', `${rangedWords(card.fibreDensityGPerCm3, undefined)} g/cm³`);
  row('bendingNmm2', 'Bending stiffness', `${rangeWords(card.bendingNmm2)} N mm²`);
  row(
    'twistTurnsPerM',
    'Twist',
    card.twistTurnsPerM &&
      `${rangeWords(card.twistTurnsPerM, inches ? mmPerInch / 1000 : 1)} turns ${inches ? 'to the inch' : 'per m'}`,
  );
  row('twistDirection', 'Twist runs', card.twistDirection);
  row('compressibility', 'Squeezed', gives[card.compressibility]);
  row('hairiness', 'Hair', card.hairiness);
  row('hairLengthMm', 'Hairs', card.hairLengthMm && `${rangeWords(card.hairLengthMm, thin.scale)} ${thin.unit}`);
  row(
    'lengthShrinkPercent',
    'Shortens in a gentle wash',
    card.lengthShrinkPercent && `${rangeWords(card.lengthShrinkPercent)} %`,
  );
  row(
    'laidStretchPercent',
    'Laid in stretched by',
    card.laidStretchPercent === undefined ? undefined : `${card.laidStretchPercent} %`,
  );
  row('lustre', 'Lustre', card.lustre);
  const colour = word('Colour', dialect);
  row('coneColour', colour, card.coneColour);
  row(
    'colourRepeat',
    `${colour} repeat`,
    card.colourRepeat &&
      `${rangedWords(card.colourRepeat.lengthMm, undefined, 0.001 / metresPerLength[system])} ${inches ? 'yd' : 'm'}`,
  );
  const surface = surfaceFigures(card, (length) => {
    const figure =
      typeof length === 'number' ? rangedWords(length, undefined, thin.scale) : rangeWords(length, thin.scale);
    return `${figure} ${thin.unit}`;
  });
  row('plyColours', `${colour}s of its plies`, surface.plyColours);
  row('blend', `${colour}s of its fibres`, surface.blend);
  row('print', 'Printed', surface.print);
  row('slubs', 'Slubs', surface.slubs);
  row('make', 'Made of', surface.make);
  row('mesh', 'Mesh', surface.mesh);
  row('back', 'Other side', surface.back);
  row('core', 'Core', surface.core);
  row('paint', 'Paint', surface.paint);
  row('glitter', 'Glitter', surface.glitter);
  if (provenance.setAside) rows.push({ name: 'Set aside', figure: '', from: provenance.setAside, guess: false });
  return rows;
}
