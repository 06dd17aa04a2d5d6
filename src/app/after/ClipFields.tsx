import { useTable } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { type Dialect, word } from '#app/words/words.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { FloatLengthField } from './FloatLengthField.tsx';
import { NumberField } from './NumberField.tsx';
import { SideChoice } from './SideChoice.tsx';
import { ThinField } from './ThinField.tsx';

interface ClipFieldsProps {
  readonly treatment: TreatmentOf<'clip'>;
  readonly dialect: Dialect;
  onChange(treatment: TreatmentOf<'clip'>): void;
}

/** Whose floats are clipped, how long they are, what is left of them, and in which part of the cloth. */
export function ClipFields({ treatment, dialect, onChange }: ClipFieldsProps) {
  const { samples } = useTable();
  const { part = {} } = treatment;

  function changePart(change: Partial<typeof part>) {
    const entries = Object.entries({ ...part, ...change }).filter(([, value]) => value !== undefined);
    const { part: _, ...rest } = treatment;
    onChange(entries.length > 0 ? { ...rest, part: Object.fromEntries(entries) } : rest);
  }

  const bound = (key: keyof typeof part, name: string, most: number, empty: string) => (
    <NumberField
      name={name}
      value={part[key]}
      least={1}
      most={most}
      empty={empty}
      onChange={(value) => changePart({ [key]: value === undefined ? undefined : Math.round(value) })}
    />
  );
  const { warp, picks } = samples.state.getState().sample;
  return (
    <>
      <SideChoice side={treatment.side} onChoose={(side) => onChange({ ...treatment, side })} />
      <Choice
        name="Floats of"
        value={treatment.threads}
        options={[
          ['weft', word('weft', dialect)],
          ['warp', 'warp'],
          ['both', 'both'],
        ]}
        onChoose={(threads) => onChange({ ...treatment, threads })}
      />
      <FloatLengthField threads={treatment.atLeast} onChange={(atLeast) => onChange({ ...treatment, atLeast })} />
      <ThinField
        name="leaving"
        value={treatment.leaveMm}
        least={0}
        most={20}
        empty="close"
        onChange={(leaveMm) => {
          const { leaveMm: _, ...rest } = treatment;
          onChange(leaveMm === undefined ? rest : { ...rest, leaveMm });
        }}
      />
      {bound('fromEnd', 'Ends', warp.ends, 'first')}
      {bound('toEnd', 'to', warp.ends, 'last')}
      {bound('fromPick', 'Picks', picks.length, 'first')}
      {bound('toPick', 'to', picks.length, 'last')}
    </>
  );
}
