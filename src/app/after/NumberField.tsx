import { useState } from 'react';

export interface NumberFieldProps {
  readonly name: string;
  readonly value: number | undefined;
  readonly least: number;
  readonly most: number;
  readonly step?: number;
  readonly unit?: string;
  /** What stands in an empty field; left out where the field must hold a number. */
  readonly empty?: string;
  onChange(value: number | undefined): void;
}

/** A number that is taken as soon as it can be one; until then it stays as typed and nothing changes. */
export function NumberField({ name, value, least, most, step = 1, unit, empty, onChange }: NumberFieldProps) {
  const [text, setText] = useState<string>();
  const shown = value === undefined ? '' : String(Math.round(value * 1000) / 1000);

  function take(typed: string) {
    setText(typed);
    const number = Number(typed);
    if (typed.trim() === '') {
      if (empty !== undefined) onChange(undefined);
    } else if (number >= least && number <= most) onChange(number);
  }

  return (
    <label>
      <span className="soft">{name}</span>{' '}
      <input
        type="number"
        min={least}
        max={most}
        step={step}
        value={text ?? shown}
        placeholder={empty}
        onChange={(event) => take(event.target.value)}
        onBlur={() => setText(undefined)}
      />
      {unit && ` ${unit}`}
    </label>
  );
}
