import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { demand } from '#document/problem.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import { recalledLoom } from '#io/loomMemory.ts';
import { listPresets, readLoomPreset, readWarpPreset } from '#io/presets.ts';

/** The looms that stand in the room, as they were left, and what is on each of them. */
export interface Room {
  readonly looms: readonly LoomCard[];
  readonly warped: readonly LoomAndWarp[];
}

/** @throws Error where a card of the room cannot be fetched or read. */
export async function fetchRoom(): Promise<Room> {
  const looms = await Promise.all(
    listPresets('looms').map(async ({ id }) => recalledLoom(demand(await readLoomPreset(id)))),
  );
  const warps = await Promise.all(listPresets('warps').map(async ({ id }) => demand(await readWarpPreset(id))));
  const warped = warps.flatMap((warp: WarpCard): LoomAndWarp[] => {
    const loom = looms.find(({ id }) => id === warp.loomId);
    return loom ? [{ loom, warp }] : [];
  });
  return { looms, warped };
}
