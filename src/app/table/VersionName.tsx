import { useEffect, useRef } from 'react';

export interface VersionNameProps {
  readonly name: string;
  /** Takes the focus as the names are opened. */
  readonly first: boolean;
  /** False where the name is refused. */
  readonly onName: (name: string) => boolean;
  readonly onDone: () => void;
}

/** The name of one kept version, to be written over; what cannot be taken gives way to the name in force. */
export function VersionName({ name, first, onName, onDone }: VersionNameProps) {
  const inputRef = useRef<HTMLInputElement>(null);

  useEffect(() => {
    if (first) inputRef.current?.select();
  }, [first]);

  /** False where there is something left to put right. */
  function take(input: HTMLInputElement): boolean {
    const wanted = input.value.trim();
    if (wanted === name) return true;
    if (onName(wanted)) return true;
    input.value = name;
    return false;
  }

  return (
    <input
      ref={inputRef}
      type="text"
      className="version-name"
      aria-label={`Name of ${name}`}
      size={Math.max(name.length + 2, 10)}
      maxLength={120}
      defaultValue={name}
      onBlur={(event) => take(event.target)}
      onKeyDown={(event) => {
        if (event.key === 'Enter' && take(event.currentTarget)) onDone();
      }}
    />
  );
}
