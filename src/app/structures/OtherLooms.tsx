import { useState } from 'react';
import { formatNumber } from '#app/words/numbers.ts';
import { warpedLoomOf } from '#document/warpedLoom.ts';
import { type Standing, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import type { Structure } from '#engine/weave/structures/structureTypes.ts';
import { listPresets, readLoomPreset, readWarpPreset } from '#io/presets.ts';
import { standingWords } from './library.ts';

interface Tried {
  readonly loom: string;
  readonly warp: string;
  readonly standing: Standing;
}

/** The structure on every warp that stands on a loom in the room. */
export function OtherLooms({ structure }: { readonly structure: Structure }) {
  const [tried, setTried] = useState<{ readonly structure: Structure; readonly list: readonly Tried[] }>();

  async function tryAll() {
    const list: Tried[] = [];
    for (const { id } of listPresets('warps')) {
      const warp = await readWarpPreset(id);
      const loom = warp.ok && warp.value.loomId ? await readLoomPreset(warp.value.loomId) : undefined;
      if (!warp.ok || !loom?.ok) continue;
      const standing = standingOn(warpedLoomOf({ loom: loom.value, warp: warp.value }), structure);
      list.push({ loom: loom.value.name, warp: warp.value.name, standing });
    }
    setTried({
      structure,
      list: list.sort((a, b) => a.standing.changed / a.standing.crossings - b.standing.changed / b.standing.crossings),
    });
  }

  const list = tried?.structure === structure ? tried.list : undefined;
  return (
    <div className="plan-table">
      <button type="button" onClick={() => void tryAll()}>
        Try it on every loom
      </button>
      {list && (
        <table>
          <tbody>
            {list.map(({ loom, warp, standing }) => (
              <tr key={`${loom} ${warp}`}>
                <th scope="row">{loom}</th>
                <td>{warp}</td>
                <td>{standingWords(standing, formatNumber)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </div>
  );
}
