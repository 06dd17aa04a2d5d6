import { useRef, useState } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { weaveInstead } from '#document/commands/structureCommands.ts';
import { hexFromLinear } from '#engine/colour/colour.ts';
import { finishInSlices } from './inSlices.ts';
import { useLibrary, useStandings } from './library.ts';
import { type Band, type BandFigures, bandFigures, bandsOf, picksInBand, picksOfBand } from './trialStrip.ts';
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
  const wefts = weftsOf(sample).filter((id) => !left.includes(id));
  const taken = possible.filter(({ card }) => chosen.includes(card.id)).slice(0, MOST_WEAVES);

  async function weave() {
    const bands = bandsOf(
      wefts,
      taken.flatMap(({ card }) => {
        const standing = standings.get(card.id);
        return standing ? [{ name: card.name, standing }] : [];
      }),
    );
    const woven: WovenBand[] = [];
    const skipped: string[] = [];
    let at = 0;
    for (const [k, band] of bands.entries()) {
      setWorking(`Band ${k + 1} of ${bands.length}…`);
      try {
        const figures = await finishInSlices(bandFigures(sample, band));
        const count = picksOfBand(figures.picksPerCm);
        woven.push({ band, figures, from: at, to: at + count - 1 });
        at += count;
      } catch (error) {
        skipped.push(
          `${sample.yarns[band.weft].name} in ${band.weave}: ${error instanceof Error ? error.message : String(error)}`,
        );
      }
    }
    setWorking(undefined);
    const picks = woven.flatMap(({ band, from, to }) => picksInBand(band, to - from + 1));
    picksBefore.current = strip.length > 0 ? picksBefore.current : sample.picks.length;
    const refusal = samples.dispatch(weaveInstead({ picks, name: 'a trial strip' }));
    if (!refusal) {
      setStrip(woven);
      // On a low screen the bands would come to lie below the drawer's edge.
      requestAnimationFrame(() => tableRef.current?.scrollIntoView({ block: 'nearest' }));
    }
    const without =
      skipped.length > 0
        ? ` Left out: ${skipped[0]}${skipped.length > 1 ? ` and ${skipped.length - 1} more` : ''}`
        : '';
    ui.getState().say(
      refusal ? refusal.message : `${woven.length} bands of 2 cm are woven. Undo brings the cloth back.${without}`,
    );
  }

  function take({ band }: WovenBand) {
    const refusal = samples.dispatch(
      weaveInstead({ picks: picksInBand(band, picksBefore.current), name: `all in ${band.weave}` }),
    );
    ui.getState().say(
      refusal ? refusal.message : `${sample.yarns[band.weft].name} in ${band.weave} is taken for the whole piece.`,
    );
    if (!refusal) setStrip([]);
  }

  const sorted = [...strip].sort((a, b) => b.figures[sortedBy] - a.figures[sortedBy]);
  return (
    <>
      <p className="soft told">
        All wefts chosen, each in every structure chosen, in bands of 2 cm on this warp. Turn it over, and hold it at 2
        m, as any cloth.
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
          {weftsOf(sample).map((id) => (
            <label key={id}>
              <input
                type="checkbox"
                checked={!left.includes(id)}
                onChange={(event) =>
                  setLeft(event.target.checked ? left.filter((other) => other !== id) : [...left, id])
                }
              />{' '}
              {sample.yarns[id].name}
            </label>
          ))}
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
              : `${wefts.length * taken.length} bands, ${formatNumber(wefts.length * taken.length * 2, 0)} cm`)}
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
                    <th scope="row">{`${sample.yarns[row.band.weft]?.name ?? row.band.weft}, ${row.band.weave}`}</th>
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
