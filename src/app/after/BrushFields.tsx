import { Choice } from '#app/table/Choice.tsx';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';

interface BrushFieldsProps {
  readonly treatment: TreatmentOf<'brush'>;
  onChange(treatment: TreatmentOf<'brush'>): void;
}

/** Which side is brushed, and how hard. */
export function BrushFields({ treatment, onChange }: BrushFieldsProps) {
  return (
    <>
      <Choice
        name="Side"
        value={treatment.side}
        options={[
          ['face', 'face'],
          ['back', 'back'],
          ['both', 'both'],
        ]}
        onChoose={(side) => onChange({ ...treatment, side })}
      />
      <Choice
        name="How far"
        value={treatment.strength}
        options={[
          ['light', 'a few strokes'],
          ['raised', 'a nap is raised'],
          ['hard', 'hard, the weave half hidden'],
        ]}
        onChoose={(strength) => onChange({ ...treatment, strength })}
      />
    </>
  );
}
