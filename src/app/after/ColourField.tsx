import { useEffect, useRef } from 'react';
import { useTable } from '#app/model/tableContext.ts';

interface ColourFieldProps {
  readonly name: string;
  readonly value: string;
  onChange(colour: string): void;
}

/** A colour from the browser's own chooser: the cloth follows while one looks for it, and all of that is one step to undo. */
export function ColourField({ name, value, onChange }: ColourFieldProps) {
  const { samples } = useTable();
  const inputRef = useRef<HTMLInputElement>(null);

  useEffect(() => {
    const input = inputRef.current;
    // The browser says `change` once, as its chooser closes; React's own onChange is `input`.
    const done = () => samples.commit();
    input?.addEventListener('change', done);
    return () => {
      input?.removeEventListener('change', done);
      done();
    };
  }, [samples]);

  return (
    <label>
      <span className="soft">{name}</span>{' '}
      <input
        ref={inputRef}
        type="color"
        value={value}
        onChange={(event) => {
          if (samples.state.getState().gesture === null) samples.begin(`choose the ${name.toLowerCase()}`);
          onChange(event.target.value);
        }}
      />
    </label>
  );
}
