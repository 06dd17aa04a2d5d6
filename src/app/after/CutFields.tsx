import { useTable, useTableState } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { quantity } from '#app/words/numbers.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { CutPlaces } from './CutPlaces.tsx';
import { cutOfKind } from './cutOfKind.ts';
import { endLine } from './drawLine.ts';
import { FloatLengthField } from './FloatLengthField.tsx';
import { SideChoice } from './SideChoice.tsx';
import { ThinField } from './ThinField.tsx';

type Cut = TreatmentOf<'cut'>;

interface CutFieldsProps {
  readonly treatment: Cut;
  readonly place: number;
  onChange(treatment: Cut): void;
}

/** What is cut, along which line, and what of it stays. */
export function CutFields({ treatment, place, onChange }: CutFieldsProps) {
  const table = useTable();
  const drawing = useTableState((state) => state.lineDrawn?.place === place);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const { what, closed = false } = treatment;
  return (
    <>
      <Choice
        name="Cut"
        value={what}
        options={[
          ['floats', 'floats that cross the line'],
          ['layer', 'one layer of a double cloth'],
          ['through', 'through the cloth'],
        ]}
        onChoose={(next) => onChange(cutOfKind(treatment, next))}
      />
      {what !== 'through' && (
        <SideChoice side={treatment.side ?? 'face'} onChoose={(side) => onChange({ ...treatment, side })} />
      )}
      {what === 'floats' && (
        <FloatLengthField
          threads={treatment.atLeast ?? 2}
          onChange={(atLeast) => onChange({ ...treatment, atLeast })}
        />
      )}
      <Choice
        name="Line"
        value={closed ? 'closed' : 'open'}
        options={
          treatment.line.length > 2
            ? [
                ['open', 'from end to end'],
                ['closed', 'closed, an outline'],
              ]
            : [['open', 'from end to end']]
        }
        onChoose={(next) => {
          const { closed: _, ...open } = treatment;
          onChange(cutOfKind(next === 'closed' ? { ...open, closed: true } : open, what));
        }}
      />
      {what === 'through' && (
        <Choice
          name="Keep"
          value={treatment.keep ?? 'inside'}
          options={
            closed
              ? [
                  ['inside', 'what is inside'],
                  ['outside', 'what is outside'],
                ]
              : [
                  ['left', 'left of it, as the line runs'],
                  ['right', 'right of it, as the line runs'],
                ]
          }
          onChoose={(keep) => onChange({ ...treatment, keep })}
        />
      )}
      {what !== 'floats' && (
        <ThinField
          name="Left to fray"
          value={treatment.frayMm}
          least={0}
          most={50}
          empty={quantity(1, 'thin', system).text}
          onChange={(frayMm) => {
            const { frayMm: _, ...rest } = treatment;
            onChange(frayMm === undefined ? rest : { ...rest, frayMm });
          }}
        />
      )}
      <button
        type="button"
        aria-pressed={drawing}
        onClick={() => (drawing ? endLine(table, false) : table.ui.getState().drawLine({ place, line: [] }))}
      >
        {drawing ? 'Done drawing' : 'Draw on the cloth'}
      </button>
      <CutPlaces treatment={treatment} onChange={onChange} />
    </>
  );
}
