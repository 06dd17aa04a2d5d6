import { useMemo } from 'react';
import { useStore } from 'zustand';
import type { RibbonThreads } from '#app/table/Ribbon.tsx';
import { spanInWords } from '#document/commands/command.ts';
import { rowColours } from '#document/rowColours.ts';
import { dyedCard } from '#document/treatedYarns.ts';
import { yarnOfRows } from '#engine/cloth/yarnOfRows.ts';
import type { ThreadSpan } from './ribbonPaint.ts';
import type { SampleCloth } from './sampleCloth.ts';
import { useTable } from './tableContext.ts';

export interface ClothThreads {
  readonly cloth: SampleCloth;
  readonly ends: RibbonThreads;
  readonly rows: RibbonThreads;
}

/**
 * The threads of the newest sample at the places of the newest forecast. Where picks or ends have been added since,
 * the forecast's own cloth is shown until the next one comes.
 */
export function useClothThreads(): ClothThreads | undefined {
  const { forecast, samples } = useTable();
  const yarns = useStore(samples.state, (state) => state.sample.yarns);
  const afterLoom = useStore(samples.state, (state) => state.sample.afterLoom);
  const asked = useStore(forecast.state, (state) => state.cloth);
  const answered = useStore(forecast.state, (state) => state.resultCloth);
  const geometry = useStore(forecast.state, (state) => state.result?.geometry);
  const takeUp = useStore(forecast.state, (state) => state.result?.readings.weftTakeUp.value ?? 0);
  return useMemo(() => {
    if (!asked || !answered || !geometry) return undefined;
    const fits = asked.problem.rows === geometry.rows && asked.problem.ends === geometry.ends;
    const cloth = fits ? asked : answered;
    const rows = rowKinds(cloth);
    const shared = { coloursOf: cloth.coloursOf, namesOf: cloth.namesOf, widthMmOf: cloth.widthMmOf };
    return {
      cloth,
      ends: { positionsMm: geometry.endXMm, yarnOf: cloth.problem.endYarn, ...shared },
      rows: {
        positionsMm: geometry.rowYMm,
        ...rows,
        runsOf: rowColours(cloth.problem, (id) => yarns[id] && dyedCard(yarns[id], afterLoom).colourRepeat, takeUp),
      },
    };
  }, [asked, answered, geometry, yarns, afterLoom, takeUp]);
}

/** Rows by yarn and by the ends they pass: two partial passes of one yarn over other ends are told apart. */
export function rowKinds(cloth: SampleCloth): Omit<RibbonThreads, 'positionsMm'> {
  const { ends, rows, rowFirst, rowLast, rowPick } = cloth.problem;
  const rowYarn = yarnOfRows(cloth.problem);
  const yarnOf = new Uint16Array(rows);
  const known = new Map<string, number>();
  const sourceOf: number[] = [];
  const spanOf: (ThreadSpan | undefined)[] = [];
  const namesOf: string[] = [];
  for (let row = 0; row < rows; row++) {
    const whole = rowFirst[row] === 0 && rowLast[row] === ends - 1;
    const key = whole ? String(rowYarn[row]) : `${rowYarn[row]} ${rowFirst[row]} ${rowLast[row]}`;
    let kind = known.get(key);
    if (kind === undefined) {
      kind = sourceOf.push(rowYarn[row]) - 1;
      known.set(key, kind);
      spanOf.push(whole ? undefined : { from: rowFirst[row] / ends, to: (rowLast[row] + 1) / ends });
      const name = cloth.namesOf[rowYarn[row]];
      namesOf.push(whole ? name : `${name}, ${spanInWords('end', { from: rowFirst[row] + 1, to: rowLast[row] + 1 })}`);
    }
    yarnOf[row] = kind;
  }
  return {
    yarnOf,
    sourceOf,
    spanOf,
    namesOf,
    pickOf: rowPick,
    coloursOf: sourceOf.map((yarn) => cloth.coloursOf[yarn]),
    widthMmOf: sourceOf.map((yarn) => cloth.widthMmOf[yarn]),
  };
}
