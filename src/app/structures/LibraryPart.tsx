import { memo, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { dentsOfWarp } from '#document/notation/denting.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { edgeStep, type Standing } from '#engine/weave/structures/onThisLoom.ts';
import { type LibraryWeave, standingName, standingWords, useLibrary, useStandings } from './library.ts';
import { Swatch } from './Swatch.tsx';
import { WeaveDetails } from './WeaveDetails.tsx';
import { endColours, pickRoles, usualWefts } from './wefts.ts';

const standings = ['here', 'nearest', 'cannot'] as const;
const filterWords = { all: 'all', ...standingName } as const;

/** The library as this warp weaves it, and one structure of it looked at. */
export function LibraryPart() {
  const { samples } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const weaves = useLibrary();
  const found = useStandings(sample, weaves);
  const [filter, setFilter] = useState<keyof typeof filterWords>('all');
  const [sought, setSought] = useState('');
  const [chosenId, setChosenId] = useState('twill-2-2');
  const ends = useMemo(() => endColours(sample), [sample]);
  if (!weaves) return <p className="soft">Opening…</p>;
  const looked = weaves.filter(({ card }) => found.has(card.id)).length;
  const count = (kind: Standing['kind']) => weaves.filter(({ card }) => found.get(card.id)?.kind === kind).length;
  const words = sought.trim().toLowerCase();
  const shown = weaves.filter(
    ({ card, kind }) =>
      (filter === 'all' || found.get(card.id)?.kind === filter) &&
      `${card.name} ${kind} ${card.uses ?? ''}`.toLowerCase().includes(words),
  );
  const kinds = [...new Set(shown.map(({ kind }) => kind))];
  const chosen = weaves.find(({ card }) => card.id === chosenId);
  return (
    <>
      <p className="soft told">
        <EdgeWords />
        {sample.loom.control.kind === 'treadles' &&
          ' Named weaves are looked for here; what its treadles weave in an order of their own is under Treadling.'}
      </p>
      <div className="weave-tools">
        {(['all', ...standings] as const).map((each) => (
          <button key={each} type="button" aria-pressed={filter === each} onClick={() => setFilter(each)}>
            {filterWords[each]} {each === 'all' ? weaves.length : count(each)}
          </button>
        ))}
        {looked < weaves.length && <span className="soft">{`still looking: ${looked} of ${weaves.length} tried`}</span>}
        <label>
          <span className="soft">Look for</span>{' '}
          <input type="search" value={sought} onChange={(event) => setSought(event.target.value)} />
        </label>
      </div>
      <div className="weave-columns">
        <div className="weave-list">
          {kinds.map((kind) => (
            <section key={kind} aria-label={kind}>
              <h3>{kind}</h3>
              <ul>
                {shown
                  .filter((weave) => weave.kind === kind)
                  .map((weave) => (
                    <li key={weave.card.id}>
                      <WeaveButton
                        weave={weave}
                        standing={found.get(weave.card.id)}
                        ends={ends}
                        chosen={weave.card.id === chosenId}
                        onChoose={setChosenId}
                      />
                    </li>
                  ))}
              </ul>
            </section>
          ))}
          {shown.length === 0 && <p className="soft">None.</p>}
        </div>
        {chosen && <WeaveDetails key={chosen.card.id} weave={chosen} />}
      </div>
    </>
  );
}

const WeaveButton = memo(function WeaveButton({
  weave,
  standing,
  ends,
  chosen,
  onChoose,
}: {
  readonly weave: LibraryWeave;
  readonly standing: Standing | undefined;
  readonly ends: readonly string[];
  readonly chosen: boolean;
  onChoose(id: string): void;
}) {
  const { samples } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const { card, structure } = weave;
  const colours = useMemo(() => {
    const wefts = usualWefts(sample, pickRoles(structure.picks));
    return structure.picks.map((role) => sample.yarns[wefts[role] ?? '']?.coneColour ?? '#808080');
  }, [sample, structure]);
  // What cannot be woven here is shown as it would be elsewhere.
  const woven = standing && standing.kind !== 'cannot' ? standing.fit.woven : structure.drawdown;
  return (
    <button
      type="button"
      className={`weave-button ${standing?.kind ?? ''}`}
      aria-pressed={chosen}
      onClick={() => onChoose(card.id)}
    >
      <Swatch drawdown={woven} endColours={ends} pickColours={colours} />
      <span>{card.name}</span>
      <span className="weave-standing">{standingWords(standing, formatNumber)}</span>
    </button>
  );
});

/** The smallest step of an edge, and why. */
function EdgeWords() {
  const { samples } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const step = edgeStep(warpedLoomOf(sample));
  const { widthMm } = dentsOfWarp(sample.warp);
  const width = quantity((step.ends * widthMm) / sample.warp.ends, 'thin', system);
  const { name, warp } = { name: sample.loom.name, warp: sample.warp };
  const size = `${step.ends === 1 ? '1 end' : `${formatNumber(step.ends)} ends`}, ${width.text} ${width.unit}`;
  const why =
    step.ends > 1
      ? 'ends of one block rise together, so an edge can only lie where one block gives way to the next'
      : step.everyEnds > 0
        ? `what is done at an edge comes again every ${formatNumber(step.everyEnds)} ends, as the draw does`
        : 'no two neighbours share a shaft';
  return <>{`${name}, ${warp.name}: the smallest step of an edge is ${size}: ${why}.`}</>;
}
