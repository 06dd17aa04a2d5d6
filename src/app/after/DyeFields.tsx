import { useState } from 'react';
import { Choice } from '#app/table/Choice.tsx';
import { type Dialect, word } from '#app/words/words.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { ColourField } from './ColourField.tsx';

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
      <DepthField value={treatment.depth} onChange={(depth) => onChange({ ...treatment, depth })} />
    </>
  );
}

const LEAST_PERCENT = 5;
const MOST_PERCENT = 400;

/** Dye for the weight of cloth, in per cent of what the colour stands for; taken once it is a number that can be. */
function DepthField({ value, onChange }: { readonly value: number; onChange(depth: number): void }) {
  const [text, setText] = useState<string>();
  const fits = (percent: number) => percent >= LEAST_PERCENT && percent <= MOST_PERCENT;
  return (
    <label>
      <span className="soft">Depth</span>{' '}
      <input
        type="number"
        min={LEAST_PERCENT}
        max={MOST_PERCENT}
        step={5}
        value={text ?? Math.round(100 * value)}
        onChange={(event) => {
          setText(event.target.value);
          const percent = Number(event.target.value);
          if (event.target.value !== '' && fits(percent)) onChange(percent / 100);
        }}
        onBlur={() => setText(undefined)}
      />{' '}
      %
    </label>
  );
}
