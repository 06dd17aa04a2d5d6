import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { Dialect } from '#app/words/words.ts';
import { changeTreatment } from '#document/commands/afterLoomCommands.ts';
import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import type { BendReport } from '#engine/cloth/after/afterTypes.ts';
import type { LaidLeaf } from '#engine/packing/packedCloth.ts';
import { BendFields } from './BendFields.tsx';
import { BrushFields } from './BrushFields.tsx';
import { bendWords } from './bendWords.ts';
import { ClipFields } from './ClipFields.tsx';
import { CutFields } from './CutFields.tsx';
import { cautionWords } from './cautionWords.ts';
import { type CutShown, cutWords } from './cutWords.ts';
import { DyeFields } from './DyeFields.tsx';
import { brushWords, dyeWords } from './effectWords.ts';
import { FoilFields } from './FoilFields.tsx';
import { foilWords } from './foilWords.ts';
import { treatmentNames } from './newTreatment.ts';

export interface TreatmentItemProps {
  readonly treatment: Treatment;
  /** Counted from 1, of `count`. */
  readonly place: number;
  readonly count: number;
  readonly yarns: readonly YarnCard[];
  readonly dialect: Dialect;
  /** What came of it, of a clipping or cut that has been worked out. */
  readonly cut: CutShown | undefined;
  /** Leaf as it lies on the newest cloth, of the last foil on its side. */
  readonly leaf: LaidLeaf | undefined;
  /** What came of it, of a bend that has been worked out. */
  readonly bent: BendReport | undefined;
  onMove(to: number): void;
  onRemove(): void;
}

/** One treatment: how it is done, what it does to the yarns of this cloth, and what to mind. */
export function TreatmentItem(props: TreatmentItemProps) {
  const { treatment, place, count, yarns, dialect, cut, leaf, bent, onMove, onRemove } = props;
  const { samples, ui } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const name = treatmentNames.find(([kind]) => kind === treatment.kind)?.[1] ?? treatment.kind;

  const lines = cut
    ? cutWords(treatment, cut, system)
    : treatment.kind === 'foil'
      ? foilWords(treatment, leaf, system)
      : treatment.kind === 'bend'
        ? bendWords(bent, system)
        : effects(treatment, yarns);

  function change(changed: Treatment) {
    const refusal = samples.dispatch(changeTreatment({ place, treatment: changed }));
    if (refusal) ui.getState().say(refusal.message);
  }

  return (
    <li>
      <fieldset>
        <legend className="treatment-head" tabIndex={-1}>{`${place}. ${name}`}</legend>
        <div className="treatment-fields">
          {treatment.kind === 'overdye' && <DyeFields treatment={treatment} dialect={dialect} onChange={change} />}
          {treatment.kind === 'brush' && <BrushFields treatment={treatment} onChange={change} />}
          {treatment.kind === 'clip' && <ClipFields treatment={treatment} dialect={dialect} onChange={change} />}
          {treatment.kind === 'foil' && <FoilFields treatment={treatment} dialect={dialect} onChange={change} />}
          {treatment.kind === 'bend' && <BendFields treatment={treatment} onChange={change} />}
          {treatment.kind === 'cut' && <CutFields treatment={treatment} place={place} onChange={change} />}
          <span className="treatment-order">
            <button type="button" disabled={place === 1} onClick={() => onMove(place - 1)}>
              Sooner
            </button>
            <button type="button" disabled={place === count} onClick={() => onMove(place + 1)}>
              Later
            </button>
            <button type="button" onClick={onRemove}>
              Leave out
            </button>
          </span>
        </div>
        {lines.map((line) => (
          <p key={line}>{line}</p>
        ))}
        <p className="soft">{cautionWords(treatment, yarns)}</p>
      </fieldset>
    </li>
  );
}

function effects(treatment: Treatment, yarns: readonly YarnCard[]): readonly string[] {
  if (treatment.kind === 'overdye') return dyeWords(treatment, yarns);
  if (treatment.kind === 'brush') return brushWords(treatment, yarns);
  return [];
}
