import { useId, useState } from 'react';
import { type NumberOutcome, readHex } from '#engine/colour/colourNumbers.ts';

export interface ConeColourFieldProps {
  readonly label: string;
  /** As it is written here. */
  readonly value: string;
  /** The colour itself, #rrggbb: while it is the one that was typed here, the writing stays as typed. */
  readonly hex?: string;
  /** What a writing means, as #rrggbb; a code unless given. */
  readonly read?: (text: string) => NumberOutcome<string>;
  /** Called with #rrggbb; returns why it is refused, or undefined. */
  readonly onChange: (hex: string) => string | undefined;
}

/** A colour in writing. What cannot be read stays to be mended, with the reason below. */
export function ConeColourField({ label, value, hex, read = readHex, onChange }: ConeColourFieldProps) {
  const troubleId = useId();
  const [shown, setShown] = useState(value);
  const [text, setText] = useState(value);
  const [trouble, setTrouble] = useState('');
  const [typed, setTyped] = useState<{ readonly text: string; readonly hex: string } | undefined>();
  if (shown !== value) {
    setShown(value);
    // A screen's codes are coarse: 42 comes back as 42.1, though it is the colour that was meant.
    setText(typed && typed.hex === hex ? typed.text : value);
    setTrouble('');
  }

  function change() {
    if (text.trim() === '') {
      setText(value);
      setTrouble('');
      return;
    }
    // Left as it stood, its rounding is not taken for a change.
    if (text === value || (typed && typed.hex === hex && text === typed.text)) {
      setTrouble('');
      return;
    }
    const outcome = read(text);
    if (!outcome.ok) {
      setTrouble(outcome.reason);
      return;
    }
    if (read === readHex) setText(outcome.value);
    else setTyped({ text: text.trim(), hex: outcome.value });
    setTrouble(onChange(outcome.value) ?? '');
  }

  return (
    <>
      <label>
        {label}
        <input
          type="text"
          spellCheck={false}
          value={text}
          aria-invalid={trouble !== ''}
          aria-describedby={troubleId}
          onChange={(event) => setText(event.target.value)}
          onBlur={change}
          onKeyDown={(event) => {
            if (event.key === 'Enter') change();
          }}
        />
      </label>
      <p id={troubleId} className="trouble" role="status">
        {trouble}
      </p>
    </>
  );
}
