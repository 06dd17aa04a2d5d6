import { useState } from 'react';
import { fetchRoom } from '#app/begin/warpsOfRoom.ts';
import { useTable } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { type LoomAndWarp, weaveLifts } from '#document/commands/checkCommands.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { type Standing, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import type { Structure } from '#engine/weave/structures/structureTypes.ts';
import { standingWords } from './library.ts';

interface Tried {
  readonly on: LoomAndWarp;
  readonly standing: Standing;
}

/** The structure on every warp that stands on a loom in the room. */
export function OtherLooms({ structure }: { readonly structure: Structure }) {
  const { samples, ui } = useTable();
  const [tried, setTried] = useState<{ readonly structure: Structure; readonly list: readonly Tried[] }>();

  async function tryAll() {
    const { warped } = await fetchRoom();
    const list = warped.map((on): Tried => ({ on, standing: standingOn(warpedLoomOf(on), structure) }));
    setTried({
      structure,
      list: list.sort((a, b) => a.standing.changed / a.standing.crossings - b.standing.changed / b.standing.crossings),
    });
  }

  function weaveThere(on: LoomAndWarp, standing: Standing) {
    const lifts = liftsOf(standing);
    const { picks } = samples.state.getState().sample;
    const refusal = samples.dispatch(
      weaveLifts(
        picks.map((_, pick) => lifts[pick % lifts.length]),
        on,
      ),
    );
    ui.getState().say(
      refusal?.message ??
        `All picks are woven so on ${on.warp.name}, ${on.loom.name}, with the wefts that you had. Undo brings the last warp back.`,
    );
  }

  const list = tried?.structure === structure ? tried.list : undefined;
  return (
    <div className="plan-table other-looms">
      <button type="button" onClick={() => void tryAll()}>
        Try it on every loom
      </button>
      {list && (
        <table>
          <tbody>
            {list.map(({ on, standing }) => (
              <tr key={on.warp.id}>
                <th scope="row">{on.loom.name}</th>
                <td>{on.warp.name}</td>
                <td>{standingWords(standing, formatNumber)}</td>
                <td>
                  {standing.kind !== 'cannot' && (
                    <button
                      type="button"
                      aria-label={`Weave it on ${on.warp.name}`}
                      onClick={() => weaveThere(on, standing)}
                    >
                      Weave it there
                    </button>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </div>
  );
}
