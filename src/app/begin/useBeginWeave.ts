import { useMemo, useState } from 'react';
import { type LibraryWeave, useLibrary } from '#app/structures/library.ts';
import { mayThread } from '#app/structures/threadForIt.ts';
import { pickRoles } from '#app/structures/wefts.ts';
import type { BegunPick } from '#document/beginSample.ts';
import type { LoomAndWarp } from '#document/commands/checkCommands.ts';
import { isWellDrawn, threadedFor } from '#document/threadedFor.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { structureOf } from '#engine/weave/structures/families.ts';
import { type Standing, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import type { Structure, ThreadRole } from '#engine/weave/structures/structureTypes.ts';
import type { YarnsAtHand } from './useYarnsAtHand.ts';

export const PLAIN_ID = 'plain';
const plain = structureOf({ rule: 'plain' });

/** The weave that a sample is begun in, on the warp as it then is. */
export interface BeginWeave {
  readonly weaves: readonly LibraryWeave[] | undefined;
  readonly weaveId: string;
  /** "plain weave", "8-end sateen". */
  readonly name: string;
  readonly structure: Structure;
  /** Sorts of picks; one alone has the sample's weft. */
  readonly roles: readonly ThreadRole[];
  readonly weftOf: Partial<Record<ThreadRole, string>>;
  /** What the warp makes of it as it is drawn in; absent: there is no warp. */
  readonly asDrawn: Standing | undefined;
  /** The draw was only supposed: the warp is drawn in for a weave that it does not weave, unless she says otherwise. */
  readonly givesWay: boolean;
  /** Whether the warp could be drawn in for it, and whether it is. */
  readonly threadable: boolean;
  readonly threaded: boolean;
  /** The warp it is woven on, and its picks; absent where it cannot be woven. */
  readonly on: LoomAndWarp | undefined;
  readonly repeat: readonly BegunPick[] | undefined;
  chooseWeave(id: string): void;
  chooseWeft(role: ThreadRole, yarnId: string): void;
  thread(threaded: boolean): void;
}

/**
 * @param givesWay nobody wrote or wound this draw; one that somebody did stays until she says otherwise
 */
export function useBeginWeave(on: LoomAndWarp | undefined, yarns: YarnsAtHand, givesWay: boolean): BeginWeave {
  const weaves = useLibrary();
  const [weaveId, chooseWeave] = useState(PLAIN_ID);
  const [weftOf, setWeftOf] = useState<Partial<Record<ThreadRole, string>>>({});
  const [wanted, thread] = useState<boolean>();
  const weave = weaves?.find(({ card }) => card.id === weaveId);
  const structure = weave?.structure ?? plain;
  const roles = useMemo(() => pickRoles(structure.picks), [structure]);
  const asDrawn = useMemo(() => on && standingOn(warpedLoomOf(on), structure), [on, structure]);
  const threadable =
    on !== undefined &&
    asDrawn !== undefined &&
    !isWellDrawn(on, asDrawn) &&
    mayThread(on, { ...asDrawn, drawdown: structure.drawdown });
  const threaded = threadable && (wanted ?? givesWay);
  const woven = useMemo(() => {
    const then = threaded && on ? threadedFor(on, structure.drawdown) : on;
    const standing = then === on ? asDrawn : then && standingOn(warpedLoomOf(then), structure);
    return then && standing && standing.kind !== 'cannot' ? { on: then, lifts: liftsOf(standing) } : undefined;
  }, [on, asDrawn, threaded, structure]);
  const repeat = useMemo(
    () =>
      woven?.lifts.map((lift, row): BegunPick => {
        const weft = roles.length > 1 ? yarns.byId.get(weftOf[structure.picks[row]] ?? '') : undefined;
        return weft ? { lift, weft } : { lift };
      }),
    [woven, roles, weftOf, structure, yarns],
  );
  return {
    weaves,
    weaveId: weave ? weaveId : PLAIN_ID,
    name: !weave || weaveId === PLAIN_ID ? 'plain weave' : weave.card.name,
    structure,
    roles,
    weftOf,
    asDrawn,
    givesWay,
    threadable,
    threaded,
    on: woven?.on,
    repeat,
    chooseWeave(id) {
      chooseWeave(id);
      thread(undefined);
    },
    chooseWeft: (role, yarnId) => setWeftOf({ ...weftOf, [role]: yarnId }),
    thread,
  };
}
