import type { SampleCloth } from '#app/model/sampleCloth.ts';
import { readThreading } from '#document/notation/threading.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { DraftSheet } from './paintDraft.ts';

/** The sample's draft, ready to be drawn. A row of the drawdown is one pass; passes of one pick share its lift. */
export function draftSheet(sample: Sample, cloth: SampleCloth): DraftSheet | undefined {
  const threading = readThreading(sample.warp.threading);
  if (!threading.ok) return undefined;
  const { problem } = cloth;
  const colourOf = (yarn: number) => cloth.coloursOf[yarn][0];
  return {
    shafts: sample.loom.shafts,
    threading: threading.value,
    tieUp: sample.loom.control.kind === 'treadles' ? (sample.warp.tieUp ?? []) : undefined,
    lifts: Array.from(problem.rowPick, (pick) => sample.picks[pick]?.lift ?? []),
    drawdown: problem.drawdown,
    endColours: Array.from(problem.endYarn, colourOf),
    rowColours: Array.from(problem.rowYarn, colourOf),
    rowPick: problem.rowPick,
    fixed: sample.warp.fixed === true,
  };
}
