import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { type Command, type Span, spanInWords } from '#document/commands/command.ts';
import { isAcross, USUAL_TAIL_MM } from '#document/commands/edgeOfPass.ts';
import { type Laying, layAcross, layOnlyHere, weaveNarrower } from '#document/commands/layingCommands.ts';
import { setPassYarn } from '#document/commands/passCommands.ts';

import { type ByHandProps, Edges, TailFields } from './EdgeFields.tsx';
import { ShortWeft } from './ShortWeft.tsx';
import { WoundTogether } from './WoundFields.tsx';

/** Wefts laid by hand over part of the width, yarns wound together, and what becomes of the picks' edges, beside the picks chosen. */
export default function LayingPanel() {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const selection = useTableState((state) => state.selection);
  const part = useTableState((state) => state.layingPart);
  useTableState((state) => state.cursorPick);
  const panelRef = useRef<HTMLElement>(null);
  const [trouble, setTrouble] = useState('');
  // Ends selected meanwhile say over which of them a weft is laid; the picks stay those that were chosen before.
  const target = pickTarget(table);
  const [picks, setPicks] = useState(target);
  if (selection?.kind !== 'ends' && (picks.from !== target.from || picks.to !== target.to)) setPicks(target);

  useEffect(() => {
    const first = part === 'wound' ? '.wound-fields select' : 'select';
    panelRef.current?.querySelector<HTMLElement>(first)?.focus();
  }, [part]);

  function close() {
    ui.getState().showLaying(false);
    document.querySelector<HTMLElement>('.ribbon-picks')?.focus();
  }

  function act(command: Command) {
    const refusal = samples.dispatch(command);
    setTrouble(refusal?.message ?? '');
    if (!refusal) ui.getState().select({ kind: 'picks', range: { from: picks.from - 1, to: picks.to - 1 } });
  }

  function onKeyDown(event: KeyboardEvent<HTMLElement>) {
    if (event.key !== 'Escape') return;
    event.preventDefault();
    event.stopPropagation();
    close();
  }

  return (
    <section
      ref={panelRef}
      className="lift-panel laying"
      aria-label={`By hand, ${spanInWords('pick', picks)}`}
      onKeyDown={onKeyDown}
    >
      <div className="lift-head">
        <h2>{`By hand, ${spanInWords('pick', picks)}`}</h2>
        <button type="button" onClick={close}>
          Close <kbd>Esc</kbd>
        </button>
      </div>
      <OnlyHere sample={sample} picks={picks} act={act} />
      <WoundTogether sample={sample} picks={picks} act={act} onTrouble={setTrouble} />
      <Edges sample={sample} picks={picks} act={act} />
      {trouble !== '' && (
        <p className="trouble" role="alert">
          {trouble}
        </p>
      )}
    </section>
  );
}

function OnlyHere({ sample, picks, act }: ByHandProps) {
  const { ends } = sample.warp;
  const cursor = useTableState((state) => state.cursorEnd);
  const meant = useTableState((state) => state.layingYarnId ?? state.chosenYarnId);
  const yarns = Object.values(sample.yarns);
  const [chosen, setYarn] = useState<string>();
  const yarn = [chosen, meant].find((id) => id !== undefined && Object.hasOwn(sample.yarns, id)) ?? yarns[0].id;
  const [from, setFrom] = useState(Math.max(1, Math.min(cursor > 0 ? cursor + 1 : Math.round(ends / 3), ends)));
  const [to, setTo] = useState(Math.min(ends, from + Math.max(1, Math.round(ends / 3))));
  const selection = useTableState((state) => state.selection);
  useEffect(() => {
    if (selection?.kind !== 'ends') return;
    setFrom(selection.range.from + 1);
    setTo(selection.range.to + 1);
  }, [selection]);
  const [how, setHow] = useState<Laying['how']>('inlay');
  const [join, setJoin] = useState<Laying['join']>('slit');
  const [leaves, setLeaves] = useState<Laying['leaves']>('turn');
  const [tailMm, setTailMm] = useState(USUAL_TAIL_MM);
  const [tails, setTailKind] = useState<Laying['tails']>('fringe');
  const lies = sample.picks
    .slice(picks.from - 1, picks.to)
    .some((pick) => pick.passes.some((pass) => !isAcross(pass) && pass.strands.join('+') === yarn));
  const span: Span = { from: Math.min(from, to), to: Math.max(from, to) };
  return (
    <fieldset>
      <legend>A weft only here</legend>
      <Choice name="Weft" value={yarn} options={yarns.map(({ id, name }) => [id, name] as const)} onChoose={setYarn} />
      <ShortWeft
        sample={sample}
        yarn={yarn}
        tailMm={leaves === 'cut' ? tailMm : 0}
        onReach={(count) => {
          const first = Math.max(1, Math.floor((ends - count) / 2) + 1);
          setFrom(first);
          setTo(first + count - 1);
        }}
        onJoin={() => act(setPassYarn({ picks, strands: [yarn], joined: true }))}
        onNarrow={() => act(weaveNarrower({ picks, ends: span }))}
      />
      <NumberField
        name="From end"
        value={from}
        least={1}
        most={ends}
        onChange={(end) => setFrom(Math.round(end ?? 1))}
      />
      <NumberField name="to" value={to} least={1} most={ends} onChange={(end) => setTo(Math.round(end ?? ends))} />
      <Choice<Laying['how']>
        name="Laid"
        value={how}
        options={[
          ['inlay', 'beside the ground pick'],
          ['tapestry', 'in the ground weft’s place'],
          ['ownShed', 'in a shed of its own'],
        ]}
        onChoose={setHow}
      />
      {how === 'tapestry' ? (
        <Choice<Laying['join']>
          name="Meeting"
          value={join}
          options={[
            ['slit', 'with a slit'],
            ['dovetail', 'dovetailed round one end'],
            ['interlock', 'interlocked'],
          ]}
          onChoose={setJoin}
        />
      ) : (
        <Choice<Laying['leaves']>
          name="At the sides"
          value={leaves}
          options={[
            ['turn', 'goes back next pick'],
            ['cut', 'cut each pick'],
            ['behind', 'left floating behind to where it is laid next'],
            ['tied', 'tied behind on the way'],
          ]}
          onChoose={setLeaves}
        />
      )}
      {how !== 'tapestry' && leaves === 'cut' && (
        <TailFields tailMm={tailMm} tails={tails} onLength={setTailMm} onKind={setTailKind} />
      )}
      <div className="laying-buttons">
        <button
          type="button"
          aria-pressed={lies}
          onClick={() => act(layOnlyHere({ picks, ends: span, strands: [yarn], how, join, leaves, tailMm, tails }))}
        >
          Only here
        </button>
        <button type="button" disabled={!lies} onClick={() => act(layAcross({ picks, strands: [yarn] }))}>
          Across
        </button>
      </div>
    </fieldset>
  );
}
