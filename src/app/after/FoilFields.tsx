import { type Dialect, word } from '#app/words/words.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { ColourField } from './ColourField.tsx';
import { NumberField } from './NumberField.tsx';
import { SideChoice } from './SideChoice.tsx';

interface FoilFieldsProps {
  readonly treatment: TreatmentOf<'foil'>;
  readonly dialect: Dialect;
  onChange(treatment: TreatmentOf<'foil'>): void;
}

/** On which side, in which colour, and how much of what stands high takes it. */
export function FoilFields({ treatment, dialect, onChange }: FoilFieldsProps) {
  return (
    <>
      <SideChoice side={treatment.side} onChoose={(side) => onChange({ ...treatment, side })} />
      <ColourField
        name={word('Colour', dialect)}
        value={treatment.colour}
        onChange={(colour) => onChange({ ...treatment, colour })}
      />
      <NumberField
        name="Pressed on"
        value={100 * treatment.share}
        least={1}
        most={100}
        step={5}
        unit="% of the side, the highest"
        onChange={(percent) => percent !== undefined && onChange({ ...treatment, share: percent / 100 })}
      />
    </>
  );
}
