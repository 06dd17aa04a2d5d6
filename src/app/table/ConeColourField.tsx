import { useId, useState } from 'react';

export interface ConeColourFieldProps {
  readonly label: string;
  /** #rrggbb. */
  readonly value: string;
  /** Called with #rrggbb; returns why it is refused, or undefined. */
  readonly onChange: (hex: string) => string | undefined;
}

/** A colour as six or three hexadecimal digits, with or without #; as #rrggbb, or undefined. */
function hexColour(text: string): string | undefined {
  const digits = /^#?([0-9a-f]{6}|[0-9a-f]{3})$/i.exec(text.trim())?.[1].toLowerCase();
  if (digits === undefined) return undefined;
  return `#${digits.length === 3 ? digits.replace(/./g, '$&$&') : digits}`;
}

/** A colour in writing. What cannot be read stays to be mended, with the reason below. */
export function ConeColourField({ label, value, onChange }: ConeColourFieldProps) {
  const troubleId = useId();
  const [shown, setShown] = useState(value);
  const [text, setText] = useState(value);
  const [trouble, setTrouble] = useState('');
  if (shown !== value) {
    setShown(value);
    setText(value);
    setTrouble('');
  }

  function change() {
    if (text.trim() === '') {
      setText(value);
      setTrouble('');
      return;
    }
    const hex = hexColour(text);
    if (hex === undefined) {
      setTrouble(`"${text.trim()}" is not a colour. Write # and six digits, 0–9 and a–f, such as #27566b.`);
      return;
    }
    setText(hex);
    setTrouble(onChange(hex) ?? '');
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
