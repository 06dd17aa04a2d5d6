import { Choice } from '#app/table/Choice.tsx';
import { type Dialect, word } from '#app/words/words.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { ColourField } from './ColourField.tsx';
import { NumberField } from './NumberField.tsx';

interface DyeFieldsProps {
  readonly treatment: TreatmentOf<'overdye'>;
  readonly dialect: Dialect;
  onChange(treatment: TreatmentOf<'overdye'>): void;
}

const dyes = [
  ['fibreReactive', 'fibre-reactive (cotton, linen, viscose)'],
  ['direct', 'direct (cotton, linen, viscose)'],
  ['vat', 'vat, as indigo (cotton, linen, viscose)'],
  ['acid', 'acid (wool, silk, nylon)'],
  ['basic', 'basic (acrylic, jute)'],
  ['disperse', 'disperse (polyester, acetate)'],
] as const;

/** The bath: class of dye, what it makes of white, how deep. */
export function DyeFields({ treatment, dialect, onChange }: DyeFieldsProps) {
  return (
    <>
      <Choice name="Dye" value={treatment.dye} options={dyes} onChoose={(dye) => onChange({ ...treatment, dye })} />
      <ColourField
        name={`${word('Colour', dialect)} on white`}
        value={treatment.colour}
        onChange={(colour) => onChange({ ...treatment, colour })}
      />
      <NumberField
        name="Depth"
        value={100 * treatment.depth}
        least={5}
        most={400}
        step={5}
        unit="%"
        onChange={(percent) => percent !== undefined && onChange({ ...treatment, depth: percent / 100 })}
      />
    </>
  );
}
