import { useTableState } from '#app/model/tableContext.ts';
import { mmPerInch } from '#app/words/numbers.ts';
import { NumberField } from './NumberField.tsx';

export interface ThinFieldProps {
  readonly name: string;
  /** mm, as are the bounds. */
  readonly value: number | undefined;
  readonly least: number;
  readonly most: number;
  /** What stands in an empty field; left out where the field must hold a length. */
  readonly empty?: string;
  onChange(mm: number | undefined): void;
}

/** A length of some mm, read and written in mm or in inches as lengths are on the page. */
export function ThinField({ name, value, least, most, empty, onChange }: ThinFieldProps) {
  const inches = useTableState((state) => state.preferences.lengthSystem === 'inch');
  const mmPerUnit = inches ? mmPerInch : 1;
  return (
    <NumberField
      name={name}
      value={value === undefined ? undefined : value / mmPerUnit}
      least={least / mmPerUnit}
      most={most / mmPerUnit}
      step={inches ? 1 / 32 : 0.5}
      unit={inches ? 'in' : 'mm'}
      empty={empty}
      onChange={(typed) => onChange(typed === undefined ? undefined : typed * mmPerUnit)}
    />
  );
}
