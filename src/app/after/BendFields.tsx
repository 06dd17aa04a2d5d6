import { useTable } from '#app/model/tableContext.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { NumberField } from './NumberField.tsx';
import { SideChoice } from './SideChoice.tsx';
import { ThinField } from './ThinField.tsx';

interface BendFieldsProps {
  readonly treatment: TreatmentOf<'bend'>;
  onChange(treatment: TreatmentOf<'bend'>): void;
}

/** Which wefts are bent, where along them, how far and how tightly, and where they stand out. */
export function BendFields({ treatment, onChange }: BendFieldsProps) {
  const { samples } = useTable();
  const { warp, picks } = samples.state.getState().sample;
  const { pick, toPick = pick } = treatment;

  function reach(from: number, to: number) {
    const { toPick: _, ...rest } = treatment;
    const [first, last] = from <= to ? [from, to] : [to, from];
    onChange(first === last ? { ...rest, pick: first } : { ...rest, pick: first, toPick: last });
  }

  return (
    <>
      <NumberField
        name="Wefts of pick"
        value={pick}
        least={1}
        most={picks.length}
        onChange={(value) => value !== undefined && reach(Math.round(value), Math.max(Math.round(value), toPick))}
      />
      <NumberField
        name="to"
        value={toPick}
        least={1}
        most={picks.length}
        onChange={(value) => value !== undefined && reach(pick, Math.round(value))}
      />
      <NumberField
        name="at end"
        value={treatment.end}
        least={1}
        most={warp.ends}
        step={0.5}
        onChange={(end) => end !== undefined && onChange({ ...treatment, end })}
      />
      <NumberField
        name="by"
        value={treatment.angleDegrees}
        least={1}
        most={90}
        unit="°"
        onChange={(angleDegrees) => angleDegrees !== undefined && onChange({ ...treatment, angleDegrees })}
      />
      <ThinField
        name="radius"
        value={treatment.radiusMm}
        least={0.1}
        most={500}
        onChange={(radiusMm) => radiusMm !== undefined && onChange({ ...treatment, radiusMm })}
      />
      <SideChoice side={treatment.side} onChoose={(side) => onChange({ ...treatment, side })} />
    </>
  );
}
