import { useState } from 'react';
import { useStore } from 'zustand';
import { smallestPocketMm } from '#app/model/smallestPocket.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { lengthText } from '#app/plan/planWords.ts';
import {
  behindWords,
  collapseWords,
  crowdingWords,
  curlWords,
  deflectionWords,
  holdLines,
  joinWords,
  puckerWords,
  reliefWords,
  setWords,
  tailWords,
} from '#app/words/standingWords.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';

/** Joins that are told one by one. */
const MOST_JOINS = 4;

/** What stands out of the cloth, what slips in it, and, on request, what it would do lying free. */
export function StandingReadings({ readings }: { readonly readings: Readings }) {
  const { forecast, samples } = useTable();
  const yarns = useStore(samples.state, (state) => state.sample.yarns);
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const heldAtMm = useTableState((state) => state.heldAtMm);
  const [curlShown, setCurlShown] = useState(false);
  const { relief, hold, curls, pucker, ripple, edgeTails, setCrimp, joins, behind, crowding, uncertain } = readings;
  const { deflection, collapse } = uncertain ?? {};
  const excess = relief ? Math.max(relief.excessAcross, relief.excessAlong) : 0;
  const smallest = relief && excess > 0 ? smallestPocketMm(relief, excess, heldAtMm) : undefined;
  const nameOf = (yarn: number) =>
    cloth?.problem.yarns[yarn]?.strands.map((id) => yarns[id]?.name ?? id).join(' + ') ?? '';
  const pickOf = (row: number) => (cloth?.problem.rowPick[row] ?? row) + 1;
  const loose = hold ? holdLines(hold, system) : [];
  if (!relief && !pucker && !hold && !curls && !edgeTails && !setCrimp && !joins && !behind && !crowding && !uncertain)
    return null;
  return (
    <section className="standing" aria-label="Relief and hold">
      {relief && reliefWords(relief, smallest, system).map((words) => <p key={words}>{words}</p>)}
      {edgeTails && <p>{tailWords(edgeTails, pickOf(edgeTails.row), system)}</p>}
      {setCrimp && <p className="soft">{setWords(setCrimp)}</p>}
      {joins?.slice(0, MOST_JOINS).map((join) => (
        <p key={`${join.kind} ${join.leftEnd} ${join.firstRow}`}>{joinWords(join, pickOf, system)}</p>
      ))}
      {joins && joins.length > MOST_JOINS && <p className="soft">{`And ${joins.length - MOST_JOINS} joins more.`}</p>}
      {behind && <p>{behindWords(behind, pickOf(behind.row), system)}</p>}
      {crowding && <p className="gap-warning">{crowdingWords(crowding, system)}</p>}
      {pucker && <p className="gap-warning">{puckerWords(pucker, ripple, system)}</p>}
      {deflection && <p className="gap-warning">{deflectionWords(deflection, system)}</p>}
      {collapse && <p className="gap-warning">{collapseWords(collapse, collapse.yarns.map(nameOf).join(', '))}</p>}
      {hold && loose.length === 0 && (
        <p className="soft">{`Every weft holds within ${lengthText(10, system)} of a cut.`}</p>
      )}
      {loose.map(({ yarn, row, words }) => (
        <p key={yarn} className="gap-warning">
          Pick {pickOf(row)}, {nameOf(yarn)}: {words}
        </p>
      ))}
      {curls && (
        <>
          <button type="button" aria-expanded={curlShown} onClick={() => setCurlShown(!curlShown)}>
            Curl
          </button>
          {curlShown && curlWords(curls, system).map((words) => <p key={words}>{words}</p>)}
        </>
      )}
    </section>
  );
}
