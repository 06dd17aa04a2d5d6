import { useEffect, useMemo, useState } from 'react';
import { weaveStructure } from '#document/notation/weaveDraft.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import type { WeaveCard } from '#document/schema/weaveSchema.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { familyOf } from '#engine/weave/structures/families.ts';
import { type Standing, standingOn } from '#engine/weave/structures/onThisLoom.ts';
import type { Structure } from '#engine/weave/structures/structureTypes.ts';
import { readAllWeavePresets } from '#io/presets.ts';

/** A structure of the library, made. */
export interface LibraryWeave {
  readonly card: WeaveCard;
  readonly kind: string;
  readonly structure: Structure;
}

let library: Promise<readonly LibraryWeave[]> | undefined;

function fetchLibrary(): Promise<readonly LibraryWeave[]> {
  library ??= readAllWeavePresets().then((cards) =>
    cards.flatMap((card) => {
      const made = weaveStructure(card);
      const kind = 'made' in card ? familyOf(card.made.rule).kind : (card.kind ?? 'other');
      return made.ok ? [{ card, kind: card.kind ?? kind, structure: made.value }] : [];
    }),
  );
  return library;
}

/** The library, once it is fetched. */
export function useLibrary(): readonly LibraryWeave[] | undefined {
  const [weaves, setWeaves] = useState<readonly LibraryWeave[]>();
  useEffect(() => {
    let wanted = true;
    void fetchLibrary().then((fetched) => wanted && setWeaves(fetched));
    return () => {
      wanted = false;
    };
  }, []);
  return weaves;
}

/** Worked at a time: short enough not to be felt, long enough to get on while a slow screen draws the cloth in between. */
const SLICE_MS = 50;
/** How often standings that were found are shown. */
const SHOWN_EVERY_MS = 300;

/** What a warp on its loom makes of each structure; both are frozen cards, so that it stays true. */
const known = new WeakMap<WarpCard, Map<string, Standing>>();

/**
 * Standings of the library on this loom, by card. They are worked out one after another between the page's frames, so that
 * it stays quick; those found are shown at once.
 */
export function useStandings(
  { loom, warp }: Pick<SampleBody, 'loom' | 'warp'>,
  weaves: readonly LibraryWeave[] | undefined,
): ReadonlyMap<string, Standing> {
  const [, setCount] = useState(0);
  const standings = useMemo(() => {
    const found = known.get(warp) ?? new Map<string, Standing>();
    known.set(warp, found);
    return found;
  }, [warp]);
  useEffect(() => {
    if (!weaves) return;
    const warped = warpedLoomOf({ loom, warp });
    const left = weaves.filter(({ card }) => !standings.has(card.id));
    let timer = 0;
    let shownAt = 0;
    const next = () => {
      const until = performance.now() + SLICE_MS;
      while (left.length > 0 && performance.now() < until) {
        const weave = left.shift();
        if (weave) standings.set(weave.card.id, standingOn(warped, weave.structure));
      }
      // To draw the list again takes longer than to find a standing, so several come at once.
      if (left.length === 0 || performance.now() - shownAt > SHOWN_EVERY_MS) {
        setCount(standings.size);
        shownAt = performance.now();
      }
      if (left.length > 0) timer = window.setTimeout(next, 0);
    };
    timer = window.setTimeout(next, 0);
    return () => window.clearTimeout(timer);
  }, [weaves, loom, warp, standings]);
  return standings;
}

/** "holds as one cloth", or into how many it falls. */
export function holdWords(layers: number, formatNumber: (value: number) => string): string {
  return layers > 1 ? `falls into ${formatNumber(layers)} layers that nothing joins` : 'holds as one cloth';
}

/** What becomes of a structure on a warp, in a word or two. */
export const standingName: Readonly<Record<Standing['kind'], string>> = {
  here: 'weaves here',
  nearest: 'nearest here',
  cannot: 'cannot',
};

/** The most treadles that are pressed together at a pick; 0 where there are none. */
export function treadlesAtOnce(standing: Standing): number {
  return standing.fit.treadling ? Math.max(...liftsOf(standing).map(({ length }) => length)) : 0;
}

/** "weaves here", "nearest here (12 of 320 crossings differ)", "cannot: …". */
export function standingWords(standing: Standing | undefined, formatNumber: (value: number) => string): string {
  if (!standing) return 'looking…';
  const { kind, changed, crossings, why } = standing;
  if (kind === 'nearest')
    return `${standingName.nearest} (${formatNumber(changed)} of ${formatNumber(crossings)} crossings differ)`;
  const atOnce = treadlesAtOnce(standing);
  if (kind === 'here')
    return atOnce > 2 ? `${standingName.here}, ${formatNumber(atOnce)} treadles at once` : standingName.here;
  return `${standingName.cannot}: ${why}`;
}
