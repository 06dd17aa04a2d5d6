import type { SampleCloth } from '#app/model/sampleCloth.ts';
import { readThreading } from '#document/notation/threading.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { type ClothProblem, RowEnd } from '#engine/cloth/clothTypes.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { yarnOfRows } from '#engine/cloth/yarnOfRows.ts';
import type { CheckedCloth, CheckedYarn } from '#engine/weave/checks/checkTypes.ts';
import { ASHENHURST_K, ashenhurstDiametersPerCm } from '#engine/weave/sett.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import type { ForecastResult } from '#workers/protocol.ts';

/** The sample as the checks take it: threads where the finished cloth will have them, as far as its sizes are known. */
export function checkedSample(
  sample: Sample,
  { problem }: SampleCloth,
  { geometry, readings }: Pick<ForecastResult, 'geometry' | 'readings'>,
  state: ClothState,
): CheckedCloth {
  const { sizes } = readings;
  const finished = state === 'finished' || !sizes;
  const across = finished ? 1 : sizes.finishedWidthMm.value / readings.widthMm.value;
  const along = finished ? 1 : sizes.finishedLengthMm.value / readings.lengthMm.value;
  const threading = readThreading(sample.warp.threading);
  return {
    drawdown: problem.drawdown,
    yarns: problem.yarns.map((body) => checkedYarn(sample, body)),
    endYarn: problem.endYarn,
    rowYarn: yarnOfRows(problem),
    rowFirst: problem.rowFirst,
    rowLast: problem.rowLast,
    rowEntersRight: problem.rowEntersRight,
    rowTurns: Uint8Array.from(problem.rowEnd, (how) => (how === RowEnd.selvedge || how === RowEnd.turn ? 1 : 0)),
    ...(threading.ok ? { endFloating: Uint8Array.from(threading.value, (shaft) => (shaft === 0 ? 1 : 0)) } : {}),
    endXMm: Float64Array.from(geometry.endXMm, (x) => x * across),
    rowYMm: Float64Array.from(geometry.rowYMm, (y) => y * along),
    onLoom: {
      widthMm: sizes?.fellWidthMm.value ?? readings.widthMm.value,
      lengthMm: sizes?.onLoomLengthMm.value ?? readings.lengthMm.value,
    },
    // What beams let off is what ends take up under tension on the loom.
    ...(state === 'onLoom' && readings.endLengthFactor ? { endLengthFactor: readings.endLengthFactor } : {}),
  };
}

function checkedYarn({ yarns }: Sample, body: YarnBody): CheckedYarn {
  const cards = body.strands.map((id) => yarns[id]);
  // Ashenhurst's rule is for spun yarns; strips and wire lie beside one another at their own width.
  const spun = body.shape === 'round' && cards.every((card) => card?.compressibility !== 'none');
  return {
    pile: cards.some((card) => card?.hairiness === 'pile'),
    diameterMm: spun ? 10 / ashenhurstDiametersPerCm(body.tex, ASHENHURST_K.firm) : body.contactWidthMm,
  };
}

/** First row of a pick, from 0; the nearest there is. */
export function rowOfPick({ rowPick, rows }: Pick<ClothProblem, 'rowPick' | 'rows'>, pick: number): number {
  let row = 0;
  while (row + 1 < rows && rowPick[row] < pick) row++;
  return row;
}
