import { howManyPicks } from '#app/model/beatActions.ts';
import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';

/** What a drag has hold of in the beat, at the cloth's edge beside the hand; the trace's own value is what is spoken. */
export function BeatWord() {
  const held = useTableState((state) => state.beatHeld);
  if (!held) return null;
  return (
    <p className="beat-word" aria-hidden="true" style={{ top: held.yPx }}>
      {`${howManyPicks(held.range)}: ${formatNumber(100 * held.firmness)} %`}
    </p>
  );
}
