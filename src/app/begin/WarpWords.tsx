import { loomWords } from '#app/table/loomWords.ts';
import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { threadingText } from '#document/notation/threading.ts';

/** How a warp stands on its loom: its draw, what is tied to the treadles, whether both stay, and what is noted of it. */
export function WarpWords({ on }: { readonly on: LoomAndWarp }) {
  const { loom, warp } = on;
  const { control } = loom;
  const ties = control.kind === 'treadles' ? tieWords(on) : '';
  const stays = control.kind === 'treadles' ? 'Draw, tie-up and sett stay' : 'Draw and sett stay';
  return (
    <dl className="warp-words">
      <dt>Drawn in</dt>
      <dd>{`${threadingText(warp.threading)} (threading, shaft by shaft from end 1)`}</dd>
      <dt>Lifted by</dt>
      <dd>
        {control.kind === 'treadles'
          ? `${loomWords(loom)}. ${ties}`
          : 'direct lift: each pick names its shafts, there is no tie-up'}
      </dd>
      <dt>On the loom</dt>
      <dd>
        {warp.fixed
          ? `${stays} as they are: lifts, wefts and beat are yours to choose.`
          : 'Not for good yet: it may still be threaded for another weave.'}
      </dd>
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
  const tied = (warp.tieUp ?? []).map((shafts, k) => `${k + 1}: ${shafts.join(' ')}`).join('; ');
  return `Shafts that ${action === 'rising' ? 'rise' : 'sink'} by treadle: ${tied}.`;
}
