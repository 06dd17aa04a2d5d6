import { useMemo } from 'react';
import { useStore } from 'zustand';
import type { RibbonThreads } from '#app/table/Ribbon.tsx';
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
  const { forecast } = useTable();
  const asked = useStore(forecast.state, (state) => state.cloth);
  const answered = useStore(forecast.state, (state) => state.resultCloth);
  const geometry = useStore(forecast.state, (state) => state.result?.geometry);
  return useMemo(() => {
    if (!asked || !answered || !geometry) return undefined;
    const fits = asked.problem.rows === geometry.rows && asked.problem.ends === geometry.ends;
    const cloth = fits ? asked : answered;
    const shared = { coloursOf: cloth.coloursOf, namesOf: cloth.namesOf, widthMmOf: cloth.widthMmOf };
    return {
      cloth,
      ends: { positionsMm: geometry.endXMm, yarnOf: cloth.problem.endYarn, ...shared },
      rows: { positionsMm: geometry.rowYMm, yarnOf: cloth.problem.rowYarn, ...shared },
    };
  }, [asked, answered, geometry]);
}
