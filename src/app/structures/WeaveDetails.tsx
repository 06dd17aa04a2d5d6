import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import type { StructureRule } from '#engine/weave/structures/ruleParams.ts';
import type { Structure, ThreadRole } from '#engine/weave/structures/structureTypes.ts';
import { type LibraryWeave, standingWords } from './library.ts';
import { OtherLooms } from './OtherLooms.tsx';
import { RuleFields } from './RuleFields.tsx';
import { Swatch } from './Swatch.tsx';
import { ThreadingWords } from './ThreadingWords.tsx';
import { ToneScale } from './ToneScale.tsx';
import { mayThread, threadForIt } from './threadForIt.ts';
import { endColours, pickRoles, usualWefts, weftsOf } from './wefts.ts';

function made(rule: StructureRule): Structure | string {
  try {
    return structureOf(rule);
  } catch (error) {
    if (error instanceof DraftError) return error.message;
    throw error;
  }
}

/** One structure: what it is for, what can be set in it, what it takes, and weaving with it. */
export function WeaveDetails({ weave }: { readonly weave: LibraryWeave }) {
  const { card } = weave;
  const { samples } = useTable();
  const weft = useStore(samples.state, (state) => weftsOf(state.sample)[0]);
  const [rule, setRule] = useState<StructureRule | undefined>(
    'made' in card ? (card.made as StructureRule) : undefined,
  );
  const outcome = useMemo(() => (rule ? made(rule) : weave.structure), [rule, weave]);
  return (
    <section className="weave-details" aria-label={card.name}>
      <h3>{card.name}</h3>
      {rule && (
        <fieldset aria-label="What can be set">
          <RuleFields rule={rule} onChange={setRule} />
        </fieldset>
      )}
      {typeof outcome === 'string' ? (
        <p className="trouble" role="status">
          {outcome}
        </p>
      ) : (
        <Woven name={card.name} structure={outcome} />
      )}
      {rule?.rule === 'shadedSatin' && typeof outcome !== 'string' && (
        <ToneScale ends={Number(rule.ends)} move={Number(rule.move)} weft={weft} />
      )}
      <dl>
        {card.settShare && (
          <>
            <dt>Usual sett</dt>
            <dd>{`${card.settShare.map((share) => formatNumber(100 * share)).join(' to ')} % of the maximum of this weave`}</dd>
          </>
        )}
        {card.uses && (
          <>
            <dt>For</dt>
            <dd>{card.uses}</dd>
          </>
        )}
        {card.cautions && (
          <>
            <dt>Mind</dt>
            <dd>{card.cautions}</dd>
          </>
        )}
        {card.notes && (
          <>
            <dt>How</dt>
            <dd>{card.notes}</dd>
          </>
        )}
        <dt>From</dt>
        <dd>{card.source}</dd>
      </dl>
    </section>
  );
}

function Woven({ name, structure }: { readonly name: string; readonly structure: Structure }) {
  const table = useTable();
  const { samples, ui } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const selection = useTableState((state) => state.selection);
  const { loom, warp } = sample;
  const standing = useMemo(() => standingOn(warpedLoomOf({ loom, warp }), structure), [loom, warp, structure]);
  const roles = useMemo(() => pickRoles(structure.picks), [structure]);
  const [chosen, setChosen] = useState<Partial<Record<ThreadRole, string>>>({});
  const wefts = { ...usualWefts(sample, roles), ...chosen };
  const ends = useMemo(() => endColours(sample), [sample]);
  const pickColours = structure.picks.map((role) => sample.yarns[wefts[role] ?? '']?.coneColour ?? '#808080');
  const { rows } = structure.drawdown;
  const picks = selection?.kind === 'picks' ? pickTarget(table) : { from: 1, to: sample.picks.length };

  function weaveIt() {
    const lifts = liftsOf(standing);
    const repeat = lifts.map((lift, row) => {
      const strand = wefts[structure.picks[row]];
      return roles.length > 1 && strand ? { lift, strands: [strand] } : { lift };
    });
    const refusal = samples.dispatch(weaveStructure({ picks, repeat, name }));
    ui.getState().say(refusal ? refusal.message : `Picks ${picks.from} to ${picks.to} are woven in ${name}.`);
  }

  const threadable = standing.kind !== 'here' && mayThread(sample, standing.shaftsNeeded);
  const most = Math.max(structure.drawdown.ends, rows);
  const treadles = loom.control.kind === 'treadles';
  return (
    <>
      <div className="weave-seen">
        <Swatch
          drawdown={standing.kind === 'cannot' ? structure.drawdown : standing.fit.woven}
          endColours={ends}
          pickColours={pickColours}
          threads={Math.min(Math.max(32, most), 160)}
          sidePx={160}
          label={`${name} in the colours of this warp`}
        />
        <p role="status" className={standing.kind === 'cannot' ? 'trouble' : undefined}>
          {`${capital(standingWords(standing, formatNumber))}. Repeat of ${formatNumber(structure.drawdown.ends)} ends and ${formatNumber(rows)} picks; ` +
            `a warp threaded for it takes ${formatNumber(standing.shaftsNeeded)} shafts and ${formatNumber(standing.liftsNeeded)} lifts` +
            `${treadles && standing.fit.treadling ? ', here by the treadles that are tied' : ''}. ` +
            `${structure.layers > 1 ? `${structure.layers} layers that nothing joins.` : 'Holds as one cloth.'}`}
        </p>
      </div>
      <fieldset aria-label="Weave with it">
        {roles.length > 1 &&
          roles.map((role) => (
            <label key={role}>
              <span className="soft">{role}</span>{' '}
              <select
                value={wefts[role] ?? ''}
                onChange={(event) => setChosen({ ...chosen, [role]: event.target.value })}
              >
                {weftsOf(sample).map((id) => (
                  <option key={id} value={id}>
                    {sample.yarns[id].name}
                  </option>
                ))}
              </select>
            </label>
          ))}
        <button type="button" className="strong" disabled={standing.kind === 'cannot'} onClick={weaveIt}>
          {`Weave picks ${formatNumber(picks.from)} to ${formatNumber(picks.to)} ${standing.kind === 'nearest' ? 'in the nearest' : 'with it'}`}
        </button>
        {threadable && (
          <button
            type="button"
            className="strong"
            onClick={() =>
              threadForIt(table, {
                drawdown: structure.drawdown,
                wefts: structure.picks.map((role) => (roles.length > 1 && wefts[role] ? [wefts[role]] : undefined)),
                what: name,
              })
            }
          >
            Thread the warp for it, and weave all
          </button>
        )}
        {standing.kind !== 'here' && <ThreadingWords sample={sample} shaftsNeeded={standing.shaftsNeeded} />}
      </fieldset>
      <OtherLooms structure={structure} />
    </>
  );
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
