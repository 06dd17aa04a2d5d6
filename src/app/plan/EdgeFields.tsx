import { useState } from 'react';
import { ThinField } from '#app/after/ThinField.tsx';
import { Choice } from '#app/table/Choice.tsx';
import type { Command, Span } from '#document/commands/command.ts';
import { isAcross, strandsThatCannotTurn, USUAL_TAIL_MM } from '#document/commands/edgeOfPass.ts';
import { type Laying, setTails } from '#document/commands/layingCommands.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';

type Tails = Laying['tails'];

const tailWords: readonly (readonly [Tails, string])[] = [
  ['fringe', 'left as fringe'],
  ['tucked', 'tucked into the next shed'],
  ['folded', 'folded behind'],
];

/** Picks by hand: the sample, the picks chosen, and what does things to them. */
export interface ByHandProps {
  readonly sample: Sample;
  readonly picks: Span;
  act(command: Command): void;
}

/** What becomes of the picks' edges. */
export function Edges({ sample, picks, act }: ByHandProps) {
  const chosen = sample.picks.slice(picks.from - 1, picks.to);
  const cut = chosen.flatMap((pick) => pick.passes).find((pass) => isAcross(pass) && pass.ends === 'cut');
  const [tailMm, setTailMm] = useState(cut?.tailMm ?? USUAL_TAIL_MM);
  const [tails, setTailKind] = useState<Tails>(cut?.tails ?? 'fringe');
  const stiff = new Set(
    chosen.flatMap(({ passes }) =>
      passes.flatMap(({ strands }) => strandsThatCannotTurn(strands, sample.yarns).map(({ name }) => name)),
    ),
  );
  return (
    <fieldset>
      <legend>Edges</legend>
      <TailFields tailMm={tailMm} tails={tails} onLength={setTailMm} onKind={setTailKind} />
      <div className="laying-buttons">
        <button
          type="button"
          aria-pressed={cut !== undefined}
          onClick={() => act(setTails({ picks, tails: { tailMm, kind: tails } }))}
        >
          Cut at both edges
        </button>
        <button type="button" aria-pressed={cut === undefined} onClick={() => act(setTails({ picks, tails: null }))}>
          Turn at the edges
        </button>
      </div>
      {stiff.size > 0 && <p className="soft">{`Too stiff to turn: ${[...stiff].join(', ')}.`}</p>}
    </fieldset>
  );
}

/** How long tails are and what is done with them. */
export function TailFields({
  tailMm,
  tails,
  onLength,
  onKind,
}: {
  readonly tailMm: number;
  readonly tails: Tails;
  onLength(mm: number): void;
  onKind(kind: Tails): void;
}) {
  return (
    <>
      <ThinField
        name="Tails of"
        value={tailMm}
        least={0}
        most={500}
        onChange={(mm) => mm !== undefined && onLength(mm)}
      />
      <Choice name="Tails" value={tails} options={tailWords} onChoose={onKind} />
    </>
  );
}
