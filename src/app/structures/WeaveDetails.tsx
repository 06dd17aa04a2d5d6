import { useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { useYarnsAtHand } from '#app/begin/useYarnsAtHand.ts';
import { YarnChoice } from '#app/begin/YarnChoice.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { bringFromStock } from '#app/model/weaving.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { capital, counted, word } from '#app/words/words.ts';
import type { Span } from '#document/commands/command.ts';
import { weaveStructure } from '#document/commands/structureCommands.ts';
import { fitAnew } from '#document/fitDrawdown.ts';
import { isWellDrawn } from '#document/threadedFor.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { DraftError } from '#engine/draft/draftError.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { type Standing, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import type { StructureRule } from '#engine/weave/structures/ruleParams.ts';
import type { Structure, ThreadRole } from '#engine/weave/structures/structureTypes.ts';
import { holdWords, type LibraryWeave, standingWords, treadlesAtOnce } from './library.ts';
import { OtherLooms } from './OtherLooms.tsx';
import { RuleFields } from './RuleFields.tsx';
import { Swatch } from './Swatch.tsx';
import { ThreadingWords } from './ThreadingWords.tsx';
import { ToneScale } from './ToneScale.tsx';
import { threadForIt } from './threadForIt.ts';
import { targetWords, useWeaveTargets } from './weaveTargets.ts';
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
  const targets = useWeaveTargets();
  const yarns = useYarnsAtHand();
  const dialect = useTableState((state) => state.preferences.dialect);
  const { loom, warp } = sample;
  const standing = useMemo(() => standingOn(warpedLoomOf({ loom, warp }), structure), [loom, warp, structure]);
  const roles = useMemo(() => pickRoles(structure.picks), [structure]);
  const [chosen, setChosen] = useState<Partial<Record<ThreadRole, string>>>({});
  // A weave of one weft leaves every pick its own until another is chosen.
  const wefts: Partial<Record<ThreadRole, string>> =
    roles.length > 1 ? { ...usualWefts(sample, roles), ...chosen } : chosen;
  const seen = { ...usualWefts(sample, roles), ...wefts };
  const ends = useMemo(() => endColours(sample), [sample]);
  const pickColours = structure.picks.map((role) => yarns.byId.get(seen[role] ?? '')?.coneColour ?? '#808080');
  const { rows } = structure.drawdown;
  const brought = Object.values(wefts);
  const strandsOf = (role: ThreadRole) => (wefts[role] ? [wefts[role]] : undefined);

  function weaveIt(picks: Span) {
    const lifts = liftsOf(standing);
    const repeat = lifts.map((lift, row) => {
      const strands = strandsOf(structure.picks[row]);
      return strands ? { lift, strands } : { lift };
    });
    const where = targetWords(picks, sample.picks.length);
    samples.begin(`weave ${where} in ${name}`);
    const refusal =
      bringFromStock(samples, yarns.stock, brought) ?? samples.dispatch(weaveStructure({ picks, repeat, name }));
    if (refusal) samples.cancel();
    else samples.commit();
    ui.getState().say(
      refusal ? refusal.message : `${capital(where)} ${picks.from === picks.to ? 'is' : 'are'} woven in ${name}.`,
    );
  }

  const wellDrawn = isWellDrawn({ loom, warp }, standing);
  const anew = useMemo(
    () => (wellDrawn || warp.fixed ? undefined : fitAnew({ loom, warp }, tile(structure.drawdown, rows, warp.ends))),
    [wellDrawn, loom, warp, structure, rows],
  );
  const most = Math.max(structure.drawdown.ends, rows);
  const treadles = loom.control.kind === 'treadles';
  return (
    <>
      <fieldset aria-label="Weave with it">
        {roles.map((role) => (
          <YarnChoice
            key={role}
            name={roles.length > 1 ? role : word('Weft', dialect)}
            own={yarns.own}
            stock={yarns.stock}
            value={wefts[role] ?? ''}
            none={roles.length > 1 ? undefined : 'as the picks have it'}
            onChoose={(id) => setChosen({ ...chosen, [role]: id || undefined })}
          />
        ))}
        {targets.map((target) => (
          <button
            key={`${target.from} ${target.to}`}
            type="button"
            className="strong"
            disabled={standing.kind === 'cannot'}
            onClick={() => weaveIt(target)}
          >
            {`Weave ${targetWords(target, sample.picks.length)} ${standing.kind === 'nearest' ? 'in the nearest' : 'with it'}`}
          </button>
        ))}
        {anew && (
          <button
            type="button"
            className="strong"
            onClick={() =>
              threadForIt(table, {
                drawdown: structure.drawdown,
                wefts: structure.picks.map(strandsOf),
                what: name,
              })
            }
          >
            {`${anew.threading ? 'Thread the warp' : 'Tie the treadles'} for it, and weave all`}
          </button>
        )}
        {!wellDrawn && <ThreadingWords sample={sample} needs={{ ...standing, drawdown: structure.drawdown }} />}
      </fieldset>
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
          {`${capital(standingWords(standing, formatNumber))}${treadles ? tiedWords(standing) : ''}. ` +
            `Repeat of ${counted(structure.drawdown.ends, 'end', 'ends', formatNumber)} and ${counted(rows, 'pick', 'picks', formatNumber)}. ` +
            `On a warp threaded for it, with ${counted(standing.shaftsNeeded, 'shaft', 'shafts', formatNumber)} and ${counted(standing.liftsNeeded, 'lift', 'lifts', formatNumber)}, ` +
            `it ${holdWords(structure.layers, formatNumber)}.`}
        </p>
      </div>
      <OtherLooms structure={structure} />
    </>
  );
}

/** Of a loom with treadles: that it is by its ties, and whether a weaver's feet reach them. */
function tiedWords(standing: Standing): string {
  if (standing.kind === 'cannot') return '';
  const atOnce = treadlesAtOnce(standing);
  const tied = ', by the treadles that are tied';
  if (atOnce <= 2) return tied;
  return `${tied}: ${standing.kind === 'here' ? '' : `${formatNumber(atOnce)} at once, `}more than two feet press`;
}
