import { useMemo } from 'react';
import { useTableState } from '#app/model/tableContext.ts';
import { holdWords, type LibraryWeave, standingName, standingWords, useStandings } from '#app/structures/library.ts';
import { ThreadingWords } from '#app/structures/ThreadingWords.tsx';
import { mayThread } from '#app/structures/threadForIt.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { capital, counted, word } from '#app/words/words.ts';
import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { threadingText } from '#document/notation/threading.ts';
import { isWellDrawn } from '#document/threadedFor.ts';
import { distinctEnds } from '#engine/draft/distinct.ts';
import { type BeginWeave, PLAIN_ID } from './useBeginWeave.ts';
import type { YarnsAtHand } from './useYarnsAtHand.ts';
import { YarnChoice } from './YarnChoice.tsx';

/** In which weave it is begun, and in which wefts: one of the library, as this warp weaves it. */
export function BeginWeaveFields(props: {
  readonly on: LoomAndWarp;
  readonly weave: BeginWeave;
  readonly yarns: YarnsAtHand;
  readonly weftId: string;
  onWeft(id: string): void;
}) {
  const { on, weave, yarns, weftId, onWeft } = props;
  const { roles, weftOf, threadable, threaded } = weave;
  const dialect = useTableState((state) => state.preferences.dialect);
  return (
    <>
      <WeaveChoice on={on} weave={weave} />
      {threadable && (
        <label>
          <input type="checkbox" checked={threaded} onChange={(event) => weave.thread(event.target.checked)} /> Thread
          the warp for it
        </label>
      )}
      {roles.length > 1 ? (
        roles.map((role) => (
          <YarnChoice
            key={role}
            name={`${word('Weft', dialect)}, ${role}`}
            own={yarns.own}
            stock={yarns.stock}
            value={weftOf[role] ?? weftId}
            onChoose={(id) => weave.chooseWeft(role, id)}
          />
        ))
      ) : (
        <YarnChoice name={word('Weft', dialect)} own={yarns.own} stock={yarns.stock} value={weftId} onChoose={onWeft} />
      )}
      <p className={weave.repeat ? 'soft' : 'trouble'} role="status">
        <WovenWords weave={weave} />
      </p>
      {!weave.repeat && weave.asDrawn && (
        <ThreadingWords sample={on} needs={{ ...weave.asDrawn, drawdown: weave.structure.drawdown }} />
      )}
    </>
  );
}

/** The library by its kinds, each weave with the shafts that it needs and what becomes of it on this warp. */
function WeaveChoice({ on, weave }: { readonly on: LoomAndWarp; readonly weave: BeginWeave }) {
  const { weaves } = weave;
  const found = useStandings(on, weaves);
  const shafts = useMemo(
    () => new Map(weaves?.map(({ card, structure }) => [card.id, distinctEnds(structure.drawdown).firstOf.length])),
    [weaves],
  );
  const kinds = [...new Set(weaves?.map(({ kind }) => kind))];
  const words = ({ card: { id }, structure: { drawdown } }: LibraryWeave) => {
    const standing = found.get(id);
    if (!standing) return '';
    const threaded = weave.givesWay && !isWellDrawn(on, standing) && mayThread(on, { ...standing, drawdown });
    return `: ${threaded ? 'threaded for it' : standingName[standing.kind]}`;
  };
  return (
    <label>
      <span className="soft">Weave</span>{' '}
      <select value={weave.weaveId} onChange={(event) => weave.chooseWeave(event.target.value)}>
        {!weaves && <option value={PLAIN_ID}>plain</option>}
        {kinds.map((kind) => (
          <optgroup key={kind} label={kind}>
            {weaves
              ?.filter((each) => each.kind === kind)
              .map((each) => (
                <option key={each.card.id} value={each.card.id}>
                  {`${each.card.name}, ${counted(shafts.get(each.card.id) ?? 0, 'shaft', 'shafts', formatNumber)}${words(each)}`}
                </option>
              ))}
          </optgroup>
        ))}
      </select>
    </label>
  );
}

function WovenWords({ weave }: { readonly weave: BeginWeave }) {
  const { asDrawn, name, on, structure, threaded } = weave;
  if (!asDrawn) return null;
  if (!weave.repeat) return <>{`${capital(name)} ${standingWords(asDrawn, formatNumber)}.`}</>;
  const layers = structure.layers > 1 ? ` It ${holdWords(structure.layers, formatNumber)}.` : '';
  const how =
    threaded && on
      ? `The warp is drawn in for ${name}: ${threadingText(on.warp.threading)}${on.loom.control.kind === 'treadles' ? ', with the treadles tied for it' : ''}.`
      : asDrawn.kind === 'here'
        ? `It begins in ${name}, which this warp weaves as it is threaded.`
        : `This threading does not weave ${name}: it begins in the nearest, where ${formatNumber(asDrawn.changed)} of ${formatNumber(asDrawn.crossings)} crossings differ.`;
  return <>{`${how}${layers} Weaves (W) then shows what else there can be.`}</>;
}
