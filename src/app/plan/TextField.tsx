import { useState } from 'react';

export interface TextFieldProps {
  readonly name: string;
  readonly value: string;
  readonly wide?: boolean;
  readonly disabled?: boolean;
  readonly unit?: string;
  /** Takes what was written; false where it cannot be taken, and the text stays to be put right. */
  onTake(text: string): boolean;
}

/** A field that is taken on Enter or when it is left; Escape brings back what is in force. */
export function TextField({ name, value, wide, disabled, unit, onTake }: TextFieldProps) {
  const [typed, setTyped] = useState<string>();

  function take() {
    if (typed === undefined) return;
    if (typed === value || onTake(typed)) setTyped(undefined);
  }

  return (
    <label className={wide ? 'wide-field' : undefined}>
      <span className="soft">{name}</span>{' '}
      <input
        type="text"
        value={typed ?? value}
        disabled={disabled}
        onChange={(event) => setTyped(event.target.value)}
        onBlur={take}
        onKeyDown={(event) => {
          if (event.key === 'Enter') take();
          else if (event.key === 'Escape' && typed !== undefined) {
            event.stopPropagation();
            setTyped(undefined);
          }
        }}
      />
      {unit && ` ${unit}`}
    </label>
  );
}
