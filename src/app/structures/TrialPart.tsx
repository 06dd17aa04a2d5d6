import { useRef, useState } from 'react';
import { useStore } from 'zustand';
import { useYarnsAtHand } from '#app/begin/useYarnsAtHand.ts';
import { YarnChoice } from '#app/begin/YarnChoice.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { bringFromStock } from '#app/model/weaving.ts';
import { lengthText } from '#app/plan/planWords.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { weaveInstead } from '#document/commands/structureCommands.ts';
import { hexFromLinear } from '#engine/colour/colour.ts';
import { finishInSlices } from './inSlices.ts';
import { useLibrary, useStandings } from './library.ts';
import { BAND_MM, type Band, type BandFigures, bandFigures, bandsOf, picksInBand, picksOfBand } from './trialStrip.ts';
import { weftsOf } from './wefts.ts';

const MOST_WEAVES = 4;
const usual: readonly string[] = ['plain', 'twill-2-2', 'sateen-8', 'satin-8'];

const orders = {
  lightnessGap: 'lightness gap',
  hueKept: 'hue kept',
  lustre: 'lustre',
  thicknessMm: 'thickness',
} as const;

interface WovenBand {
  readonly band: Band;
  readonly figures: BandFigures;
  readonly from: number;
  readonly to: number;
}

/** Every weft on the shelf in up to four structures, a strip of bands; sorted, and one taken. */
export function TrialPart() {
  const { samples, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const weaves = useLibrary();
  const standings = useStandings(sample, weaves);
  const [picked, setPicked] = useState<readonly string[]>();
  const [left, setLeft] = useState<readonly string[]>([]);
  const [added, setAdded] = useState<readonly string[]>([]);
  const yarns = useYarnsAtHand();
  const [strip, setStrip] = useState<readonly WovenBand[]>([]);
  const [working, setWorking] = useState<string>();
  const [sortedBy, setSortedBy] = useState<keyof typeof orders>('lightnessGap');
  const tableRef = useRef<HTMLDivElement>(null);
  const picksBefore = useRef(sample.picks.length);
  const possible = (weaves ?? []).filter(({ card }) => (standings.get(card.id)?.kind ?? 'cannot') !== 'cannot');
  // What this warp weaves of the usual ones; of a block draw, whatever it weaves.
  const here = possible.filter(({ card }) => standings.get(card.id)?.kind === 'here').map(({ card }) => card.id);
  const known = usual.filter((id) => possible.some(({ card }) => card.id === id));
  const chosen = picked ?? [...new Set([...known, ...here])].slice(0, MOST_WEAVES);
  const offered = [...new Set([...weftsOf(sample), ...added.filter((id) => yarns.byId.has(id))])];
  const wefts = offered.filter((id) => !left.includes(id));
  const nameOf = (id: string) => yarns.byId.get(id)?.name ?? id;
  const taken = possible.filter(({ card }) => chosen.includes(card.id)).slice(0, MOST_WEAVES);

  // Undone, or another sample laid: the bands are no longer there to be shown or taken.
  const there = strip.at(-1)?.to === sample.picks.length - 1 ? strip : [];
  const cardsOf = (ids: readonly string[]) =>
    Object.fromEntries(ids.flatMap((id) => (yarns.byId.has(id) ? [[id, yarns.byId.get(id)!] as const] : [])));

  async function weave() {
    const bands = bandsOf(
      wefts,
      taken.flatMap(({ card }) => {
        const standing = standings.get(card.id);
        return standing ? [{ name: card.name, standing }] : [];
      }),
    );
    const withAdded = { ...sample, yarns: { ...sample.yarns, ...cardsOf(wefts) } };
    const woven: WovenBand[] = [];
    const skipped: string[] = [];
    let at = 0;
    for (const [k, band] of bands.entries()) {
      setWorking(`Band ${k + 1} of ${bands.length}…`);
      try {
        const figures = await finishInSlices(bandFigures(withAdded, band));
        const count = picksOfBand(figures.picksPerCm);
        woven.push({ band, figures, from: at, to: at + count - 1 });
        at += count;
      } catch (error) {
        skipped.push(
          `${nameOf(band.weft)} in ${band.weave}: ${error instanceof Error ? error.message : String(error)}`,
        );
      }
    }
    setWorking(undefined);
    const picks = woven.flatMap(({ band, from, to }) => picksInBand(band, to - from + 1));
    picksBefore.current = there.length > 0 ? picksBefore.current : sample.picks.length;
    samples.begin('weave a trial strip');
    const refusal =
      bringFromStock(samples, yarns.stock, wefts) ?? samples.dispatch(weaveInstead({ picks, name: 'a trial strip' }));
    if (refusal) samples.cancel();
    else {
      samples.commit();
      setStrip(woven);
      // On a low screen the bands would come to lie below the drawer's edge.
      requestAnimationFrame(() => tableRef.current?.scrollIntoView({ block: 'nearest' }));
    }
    const without =
      skipped.length > 0
        ? ` Left out: ${skipped[0]}${skipped.length > 1 ? ` and ${skipped.length - 1} more` : ''}`
        : '';
    ui.getState().say(
      refusal
        ? refusal.message
        : `${woven.length} bands of ${lengthText(BAND_MM, system)} are woven. Undo brings the cloth back.${without}`,
    );
  }

  function take({ band }: WovenBand) {
    const refusal = samples.dispatch(
      weaveInstead({ picks: picksInBand(band, picksBefore.current), name: `all in ${band.weave}` }),
    );
    ui.getState().say(
      refusal ? refusal.message : `${nameOf(band.weft)} in ${band.weave} is taken for the whole piece.`,
    );
    if (!refusal) setStrip([]);
  }

  const sorted = [...there].sort((a, b) => b.figures[sortedBy] - a.figures[sortedBy]);
  return (
    <>
      <p className="soft told">
        {`All wefts chosen, each in every structure chosen, in bands of ${lengthText(BAND_MM, system)} on this warp. Turn it over, and stand back (B), as with any cloth.`}
      </p>
      <div className="weave-columns">
        <fieldset>
          <legend>{`Structures, up to ${MOST_WEAVES}`}</legend>
          {Array.from({ length: MOST_WEAVES }, (_, k) => (
            <select
              key={k}
              aria-label={`Structure ${k + 1}`}
              value={chosen[k] ?? ''}
              onChange={(event) =>
                setPicked(
                  Array.from({ length: MOST_WEAVES }, (__, i) => (i === k ? event.target.value : (chosen[i] ?? ''))),
                )
              }
            >
              <option value="">none</option>
              {possible.map(({ card }) => (
                <option key={card.id} value={card.id}>
                  {card.name}
                  {standings.get(card.id)?.kind === 'nearest' ? ' (nearest)' : ''}
                </option>
              ))}
            </select>
          ))}
        </fieldset>
        <fieldset>
          <legend>Wefts</legend>
          {offered.map((id) => (
            <label key={id}>
              <input
                type="checkbox"
                checked={!left.includes(id)}
                onChange={(event) =>
                  setLeft(event.target.checked ? left.filter((other) => other !== id) : [...left, id])
                }
              />{' '}
              {nameOf(id)}
            </label>
          ))}
          <YarnChoice
            name="and"
            own={[]}
            stock={yarns.stock.filter(({ id }) => !added.includes(id))}
            value=""
            none="another from stock…"
            onChoose={(id) => id && setAdded([...added, id])}
          />
        </fieldset>
      </div>
      <div className="weave-tools">
        <button
          type="button"
          className="strong"
          disabled={working !== undefined || taken.length === 0 || wefts.length === 0}
          onClick={() => void weave()}
        >
          Weave the strip
        </button>
        <span role="status" className="soft">
          {working ??
            (taken.length === 0 || wefts.length === 0
              ? 'Choose a structure and a weft.'
              : `${wefts.length * taken.length} bands, ${lengthText(wefts.length * taken.length * BAND_MM, system)}`)}
        </span>
      </div>
      {sorted.length > 0 && (
        <div className="plan-table" ref={tableRef}>
          <table>
            <caption>Bands, the most first</caption>
            <thead>
              <tr>
                <th scope="col">Band</th>
                {(Object.keys(orders) as (keyof typeof orders)[]).map((key) => (
                  <th key={key} scope="col" aria-sort={key === sortedBy ? 'descending' : undefined}>
                    <button type="button" aria-pressed={key === sortedBy} onClick={() => setSortedBy(key)}>
                      {orders[key]}
                    </button>
                  </th>
                ))}
                <th scope="col">from afar</th>
                <th scope="col">whole piece</th>
              </tr>
            </thead>
            <tbody>
              {sorted.map((row) => {
                const thick = quantity(row.figures.thicknessMm, 'thin', system);
                return (
                  <tr key={row.from}>
                    <th scope="row">{`${nameOf(row.band.weft)}, ${row.band.weave}`}</th>
                    <td>{formatNumber(row.figures.lightnessGap)}</td>
                    <td>{`${formatNumber(100 * row.figures.hueKept)} %`}</td>
                    <td>{formatNumber(100 * row.figures.lustre)}</td>
                    <td>{`${thick.text} ${thick.unit}`}</td>
                    <td>
                      <span className="band-colour" style={{ background: hexFromLinear(row.figures.mixed) }} />
                    </td>
                    <td>
                      <button
                        type="button"
                        onClick={() => ui.getState().select({ kind: 'picks', range: { from: row.from, to: row.to } })}
                      >
                        Show
                      </button>{' '}
                      <button type="button" onClick={() => take(row)}>
                        Take
                      </button>
                    </td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}
