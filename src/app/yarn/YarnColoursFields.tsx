import { useId, useState } from 'react';
import { ColourField } from '#app/after/ColourField.tsx';
import { useTableState } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { word } from '#app/words/words.ts';
import type { YarnColours } from '#engine/yarn/yarnColours.ts';
import {
  type ColouredBy,
  type ColourPart,
  coloursBy,
  coloursOfParts,
  mostColours,
  partsOf,
  readAmount,
  runUnit,
  startOf,
} from './colourParts.ts';

interface YarnColoursFieldsProps {
  readonly value: YarnColours;
  readonly plies: number;
  /** It has a face that can be printed: a strip. */
  readonly printable?: boolean;
  /** Returns why the colours are refused, or undefined. */
  onChange(colours: YarnColours): string | undefined;
}

const ways: readonly (readonly [ColouredBy, string])[] = [
  ['one', 'all alike'],
  ['plies', 'ply by ply'],
  ['fibres', 'in its fibres, mixed'],
  ['length', 'along its length'],
  ['print', 'printed on its face'],
];

interface AmountFieldProps {
  readonly label: string;
  readonly value: number;
  readonly troubleId: string;
  onTyped(text: string): void;
}

/** Taken when it is left or Enter is pressed. */
function AmountField({ label, value, troubleId, onTyped }: AmountFieldProps) {
  return (
    <label>
      <span className="soft">{label}</span>
      <input
        type="text"
        inputMode="decimal"
        key={value}
        defaultValue={String(value)}
        aria-describedby={troubleId}
        onBlur={(event) => onTyped(event.target.value)}
        onKeyDown={(event) => {
          if (event.key !== 'Enter') return;
          // Else it would send the form that it stands in.
          event.preventDefault();
          onTyped(event.currentTarget.value);
        }}
      />
    </label>
  );
}

/** The colours of one yarn: of its plies, of the fibres spun into it, or along it, with how much of each. */
export function YarnColoursFields({ value, plies, printable, onChange }: YarnColoursFieldsProps) {
  const dialect = useTableState((state) => state.preferences.dialect);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const [trouble, setTrouble] = useState('');
  const troubleId = useId();
  const colour = word('Colour', dialect);
  const { of } = value;
  const parts = partsOf(value);
  const startMm = startOf(value);
  const run = runUnit[system];
  const perUnit = of === 'length' ? run.mm : 1;
  const shown = (amount: number) => Number((amount / perUnit).toPrecision(4));
  const offered = ways.filter(([way]) => {
    if (way === of) return true;
    if (way === 'plies') return plies > 1;
    return way !== 'print' || printable;
  });

  function take(colours: YarnColours) {
    setTrouble(onChange(colours) ?? '');
  }

  function takeParts(next: readonly ColourPart[], start = startMm) {
    take(coloursOfParts(of, next, start, value));
  }

  function takeAmount(k: number, text: string) {
    const read = readAmount(text, `How much of ${colour.toLowerCase()} ${k + 1}`, 'above 0');
    if (typeof read === 'string') setTrouble(read);
    else if (read === shown(parts[k].amount)) setTrouble('');
    else takeParts(parts.map((part, each) => (each === k ? { ...part, amount: read * perUnit } : part)));
  }

  function takeStart(text: string) {
    const read = readAmount(text, 'Where the first pick begins', 'from 0');
    if (typeof read === 'string') setTrouble(read);
    else if (read === shown(startMm)) setTrouble('');
    else takeParts(parts, read * perUnit);
  }

  function takeMotif(text: string) {
    if (value.of !== 'print') return;
    const read = readAmount(text, 'How wide the motifs are', 'above 0');
    if (typeof read === 'string') setTrouble(read);
    else if (read === value.print.motifMm) setTrouble('');
    else take({ of: 'print', print: { ...value.print, motifMm: read } });
  }

  const amountName = of === 'fibres' ? 'parts by weight' : of === 'print' ? 'parts of the face' : `length, ${run.unit}`;
  return (
    <fieldset className="yarn-colours">
      <legend>{`${colour}s in it`}</legend>
      <Choice
        name={`${colour}ed`}
        value={of}
        options={offered}
        onChoose={(way) => take(coloursBy(way, value, plies))}
      />
      {of !== 'one' && (
        <>
          <ol>
            {parts.map((part, k) => (
              <li key={k}>
                <ColourField
                  name={`${colour} ${k + 1}`}
                  value={part.colour}
                  onChange={(hex) => takeParts(parts.map((each, at) => (at === k ? { ...each, colour: hex } : each)))}
                />
                {of !== 'plies' && (
                  <AmountField
                    label={`${k + 1}, ${amountName}`}
                    value={shown(part.amount)}
                    troubleId={troubleId}
                    onTyped={(text) => takeAmount(k, text)}
                  />
                )}
                <button
                  type="button"
                  aria-label={`Take ${colour.toLowerCase()} ${k + 1} away`}
                  disabled={parts.length <= 2}
                  onClick={() => takeParts(parts.filter((_, at) => at !== k))}
                >
                  ×
                </button>
              </li>
            ))}
          </ol>
          <button
            type="button"
            disabled={parts.length >= mostColours(of, plies)}
            onClick={() => takeParts([...parts, { ...parts[0], amount: parts[parts.length - 1].amount }])}
          >
            {`One ${colour.toLowerCase()} more`}
          </button>
          {value.of === 'print' && (
            <>
              <AmountField
                label="Motifs about so wide, mm"
                value={value.print.motifMm}
                troubleId={troubleId}
                onTyped={takeMotif}
              />
              <p className="soft">The back is not printed. Another choice takes the print away.</p>
            </>
          )}
          {of === 'length' && (
            <AmountField
              label={`The first pick begins so far into ${colour.toLowerCase()} 1, ${run.unit}`}
              value={shown(startMm)}
              troubleId={troubleId}
              onTyped={takeStart}
            />
          )}
        </>
      )}
      <p id={troubleId} className="trouble" role="status">
        {trouble}
      </p>
    </fieldset>
  );
}
