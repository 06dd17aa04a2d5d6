import { useId, useState } from 'react';
import { formatNumber } from '#app/words/numbers.ts';

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

interface Typed {
  readonly text: string;
  /** What was in force as it was typed: a value that comes from elsewhere meanwhile takes its place. */
  readonly over: number | undefined;
  /** Left as it cannot be taken: it stays to be put right, and is told. */
  readonly refused: boolean;
}

/**
 * A number that is taken as soon as it can be one; until then it stays as typed and nothing changes. One that cannot be
 * taken is told as the field is left; Escape brings back what is in force.
 */
export function NumberField({ name, value, least, most, step = 1, unit, empty, onChange }: NumberFieldProps) {
  const [typed, setTyped] = useState<Typed>();
  const id = useId();
  const shown = value === undefined ? '' : String(Math.round(value * 1000) / 1000);
  const now = typed?.refused && typed.over !== value ? undefined : typed;

  function take(input: HTMLInputElement) {
    const refused = now?.refused === true && !canStand(input);
    setTyped({ text: input.value, over: value, refused });
    if (!canStand(input)) return;
    if (input.value.trim() !== '') onChange(Number(input.value));
    else if (empty !== undefined) onChange(undefined);
  }

  /** Whether what is written can be in force; letters in a field of numbers read as nothing, and are not meant so. */
  function canStand({ value: text, validity }: HTMLInputElement): boolean {
    if (validity.badInput) return false;
    return text.trim() === '' || (Number(text) >= least && Number(text) <= most);
  }

  function leave(input: HTMLInputElement) {
    setTyped(canStand(input) ? undefined : { text: input.value, over: value, refused: true });
  }

  return (
    <label>
      <span id={`${id}name`} className="soft">
        {name}
      </span>{' '}
      <input
        type="number"
        min={least}
        max={most}
        step={step}
        value={now?.text ?? shown}
        placeholder={empty}
        // The name alone: what is wrong describes the field.
        aria-labelledby={unit ? `${id}name ${id}unit` : `${id}name`}
        aria-describedby={now?.refused ? `${id}trouble` : undefined}
        aria-invalid={now?.refused || undefined}
        onChange={(event) => take(event.currentTarget)}
        onBlur={(event) => leave(event.currentTarget)}
        onKeyDown={(event) => {
          if (event.key !== 'Escape' || !now) return;
          event.stopPropagation();
          // Letters are no value, so that another value alone would leave them standing.
          event.currentTarget.value = shown;
          setTyped(undefined);
        }}
      />
      {unit && <span id={`${id}unit`}>{` ${unit}`}</span>}
      {now?.refused && (
        <span role="alert" id={`${id}trouble`} className="field-trouble">
          {` ${empty === undefined ? 'Write' : 'Leave it empty, or write'} a number from ${formatNumber(least, 3)} to ${formatNumber(most, 3)}${unit ? ` ${unit}` : ''}.`}
        </span>
      )}
    </label>
  );
}
