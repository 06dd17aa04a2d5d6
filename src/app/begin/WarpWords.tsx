import { loomWords } from '#app/table/loomWords.ts';
import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { threadingText } from '#document/notation/threading.ts';

export interface WarpWordsProps {
  readonly on: LoomAndWarp;
  /** False where the draw stands beside it already. */
  readonly draw?: boolean;
}

/** How a warp stands on its loom: its draw, what is tied to the treadles, whether both stay, and what is noted of it. */
export function WarpWords({ on, draw = true }: WarpWordsProps) {
  const { loom, warp } = on;
  const { control } = loom;
  const treadled = control.kind === 'treadles';
  const stays = treadled
    ? 'Draw, tie-up and sett stay as they are: treadling, wefts and beat are yours to choose.'
    : 'Draw and sett stay as they are: lifts, wefts and beat are yours to choose.';
  return (
    <dl className="warp-words">
      {draw && (
        <>
          <dt>Drawn in</dt>
          <dd>{`${threadingText(warp.threading)} (threading, shaft by shaft from end 1)`}</dd>
        </>
      )}
      <dt>Lifted by</dt>
      <dd>
        {treadled
          ? `${loomWords(loom)}. ${tieWords(on)}`
          : 'direct lift: each pick names its shafts, there is no tie-up'}
      </dd>
      <dt>On the loom</dt>
      <dd>{warp.fixed ? stays : 'Not for good yet: it may still be threaded for another weave.'}</dd>
      {warp.notes && (
        <>
          <dt>Noted</dt>
          <dd>{warp.notes}</dd>
        </>
      )}
    </dl>
  );
}

/** "Shafts that rise by treadle: 1: 1 3; 2: 2 4." */
function tieWords({ loom, warp }: LoomAndWarp): string {
  if (loom.control.kind !== 'treadles') return '';
  const { action } = loom.control;
  const tied = (warp.tieUp ?? []).map((shafts, k) => `${k + 1}: ${shafts.join(' ') || 'none'}`).join('; ');
  return `Shafts that ${action === 'rising' ? 'rise' : 'sink'} by treadle: ${tied}.`;
}
