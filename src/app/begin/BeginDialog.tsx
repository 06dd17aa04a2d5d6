import { type FormEvent, useEffect, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { ModalDialog } from '#app/dialog/ModalDialog.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { longLength } from '#app/plan/planWords.ts';
import { endColours } from '#app/structures/wefts.ts';
import { Choice } from '#app/table/Choice.tsx';
import { loomWords } from '#app/table/loomWords.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { beginningBeat } from '#document/beginBeat.ts';
import { beginSample } from '#document/beginSample.ts';
import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { dentsOfWarp } from '#document/notation/denting.ts';
import type { Outcome } from '#document/problem.ts';
import { ownWarp } from '#document/sampleOnWarp.ts';
import { MOST_PICKS } from '#document/schema/fields.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import { BeginBeat } from './BeginBeat.tsx';
import { BeginWeaveFields } from './BeginWeaveFields.tsx';
import { OwnWarpFields, type OwnWarpForm } from './OwnWarpFields.tsx';
import { useBeginWeave } from './useBeginWeave.ts';
import { useYarnsAtHand } from './useYarnsAtHand.ts';
import { WarpWords } from './WarpWords.tsx';
import { fetchRoom, type Room } from './warpsOfRoom.ts';

const OWN = '';
/** The commonest of the shelf, until another is chosen. */
const USUAL_YARN = 'cotton-8-2';
const usualWarp: OwnWarpForm = { yarnId: USUAL_YARN, secondId: '', ends: 96, endsPerCm: 8 };

/** A new sample: a loom of the room, a warp that is on it or one's own, a weave and its wefts, plain until another is chosen. */
export default function BeginDialog({ onClose }: { readonly onClose: () => void }) {
  const table = useTable();
  const sample = useStore(table.samples.state, (state) => state.sample);
  const yarns = useYarnsAtHand();
  const [room, setRoom] = useState<Room>();
  const [trouble, setTrouble] = useState('');
  const [loomId, setLoomId] = useState(sample.loom.id);
  const [warpId, setWarpId] = useState<string>();
  const [own, setOwn] = useState(usualWarp);
  const [weftId, setWeftId] = useState(USUAL_YARN);
  const [picks, setPicks] = useState(96);
  const [picksPerCm, setPicksPerCm] = useState<number>();
  const [name, setName] = useState<string>();

  useEffect(() => {
    fetchRoom().then(setRoom, (error: Error) => setTrouble(error.message));
  }, []);

  const loom = room?.looms.find(({ id }) => id === loomId) ?? room?.looms[0];
  const standing = useMemo(() => room?.warped.filter((on) => on.loom === loom) ?? [], [room, loom]);
  const chosen = warpId ?? standing[0]?.warp.id ?? OWN;
  const on = useMemo((): Outcome<LoomAndWarp> | undefined => {
    if (!loom) return undefined;
    const there = standing.find(({ warp }) => warp.id === chosen);
    if (there) return { ok: true, value: there };
    const warpYarns = [own.yarnId, own.secondId].flatMap((id) => yarns.byId.get(id) ?? []);
    if (warpYarns.length === 0) return undefined;
    const warp = ownWarp({ ...own, loom, warpYarns, threading: own.draw ?? `1-${loom.shafts}` });
    return warp.ok ? { ok: true, value: { loom, warp: warp.value } } : warp;
  }, [loom, chosen, standing, yarns, own]);
  const weft = yarns.byId.get(weftId);
  const weave = useBeginWeave(on?.ok ? on.value : undefined, yarns, chosen === OWN && own.draw === undefined);
  const { on: begun, repeat } = weave;
  const beat = useMemo(
    () => (begun && weft && repeat ? beginningBeat({ on: begun, weft, repeat }, picksPerCm) : undefined),
    [begun, weft, repeat, picksPerCm],
  );
  const shownName =
    name ?? (loom ? `New on ${standing.find(({ warp }) => warp.id === chosen)?.warp.name ?? loom.name}` : '');
  const told = trouble || (on && !on.ok ? on.problems[0].message : '');

  async function onSubmit(event: FormEvent, close: () => void) {
    event.preventDefault();
    if (!begun || !weft || !repeat) return;
    const sample = beginSample({ name: shownName.trim(), on: begun, weft, repeat, picks, firmness: beat?.firmness });
    if (!sample.ok) {
      setTrouble(sample.problems[0].message);
      return;
    }
    await table.layNew(sample.value);
    close();
  }

  return (
    <ModalDialog title="Begin on a loom" className="begin-dialog" onClose={onClose}>
      {(close) => (
        <form className="dialog-form" noValidate onSubmit={(event) => void onSubmit(event, close)}>
          <div className="dialog-body begin-body">
            {room && loom && (
              <Choice
                name="Loom"
                value={loom.id}
                options={room.looms.map((each) => [each.id, `${each.name}: ${loomWords(each)}`] as const)}
                onChoose={(id) => {
                  setLoomId(id);
                  setWarpId(undefined);
                  setOwn({ ...own, reed: undefined });
                }}
              />
            )}
            <fieldset>
              <legend>Warp</legend>
              {standing.map(({ warp }) => (
                <WarpChoice key={warp.id} warp={warp} chosen={chosen === warp.id} onChoose={setWarpId} />
              ))}
              <label className="begin-warp">
                <input type="radio" name="warp" checked={chosen === OWN} onChange={() => setWarpId(OWN)} />
                <span>A warp of your own</span>
              </label>
              {chosen !== OWN && on?.ok && <WarpWords on={begun ?? on.value} />}
              {chosen === OWN && loom && (
                <OwnWarpFields
                  loom={loom}
                  yarns={yarns}
                  warp={own}
                  onChange={(change) => {
                    setTrouble('');
                    setOwn({ ...own, ...change });
                  }}
                />
              )}
            </fieldset>
            <fieldset>
              <legend>To begin with</legend>
              {on?.ok && (
                <BeginWeaveFields on={on.value} weave={weave} yarns={yarns} weftId={weftId} onWeft={setWeftId} />
              )}
              <NumberField
                name="Picks"
                value={picks}
                least={1}
                most={MOST_PICKS}
                onChange={(count) => count && setPicks(Math.round(count))}
              />
              {beat && <BeginBeat beat={beat} weave={weave.name} onPicksPerCm={setPicksPerCm} />}
              <label className="wide-field">
                <span className="soft">Name</span>{' '}
                <input type="text" value={shownName} onChange={(event) => setName(event.target.value)} />
              </label>
            </fieldset>
            {told && (
              <p className="trouble" role="alert">
                {told}
              </p>
            )}
          </div>
          <div className="dialog-foot">
            <button type="submit" className="strong" disabled={!repeat}>
              Begin
            </button>
            <button type="button" onClick={close}>
              Close
            </button>
            <span className="soft">What is on the table stays kept; undo brings it back.</span>
          </div>
        </form>
      )}
    </ModalDialog>
  );
}

function WarpChoice(props: { readonly warp: WarpCard; readonly chosen: boolean; onChoose(id: string): void }) {
  const { warp } = props;
  const colours = useMemo(() => endColours({ warp, yarns: warp.yarns ?? {} }), [warp]);
  const { widthMm } = dentsOfWarp(warp);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const settText = quantity((warp.ends / widthMm) * 10, 'perLength', system).text;
  const left = warp.metresLeft === undefined ? '' : `, ${longLength(warp.metresLeft, system)} left`;
  return (
    <label className="begin-warp">
      <input type="radio" name="warp" checked={props.chosen} onChange={() => props.onChoose(warp.id)} />
      <span
        className="begin-stripes"
        aria-hidden
        style={{ background: `linear-gradient(90deg, ${stripes(colours).join(', ')})` }}
      />
      <span>
        <strong>{warp.name}</strong>
        <span className="soft">{`: ${formatNumber(warp.ends)} ends, ${settText} to the ${system === 'inch' ? 'inch' : 'cm'}${left}`}</span>
      </span>
    </label>
  );
}

/** Hard stops of a gradient, one for each run of ends of one colour. */
function stripes(colours: readonly string[]): string[] {
  const stops: string[] = [];
  let from = 0;
  for (let end = 1; end <= colours.length; end++) {
    if (end < colours.length && colours[end] === colours[from]) continue;
    const share = (at: number) => `${((100 * at) / colours.length).toFixed(2)}%`;
    stops.push(`${colours[from]} ${share(from)} ${share(end)}`);
    from = end;
  }
  return stops;
}
