import { NumberField } from './NumberField.tsx';

interface FloatLengthFieldProps {
  readonly threads: number;
  onChange(threads: number): void;
}

/** How many threads a float passes at least, to be cut. */
export function FloatLengthField({ threads, onChange }: FloatLengthFieldProps) {
  return (
    <NumberField
      name="over at least"
      value={threads}
      least={2}
      most={1000}
      unit="threads"
      onChange={(atLeast) => atLeast !== undefined && onChange(Math.round(atLeast))}
    />
  );
}
