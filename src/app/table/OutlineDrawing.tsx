import { useTableState } from '#app/model/tableContext.ts';
import { type LengthSystem, quantity } from '#app/words/numbers.ts';
import { STATE_WORDS } from '#app/words/stateWords.ts';
import type { ClothOutlines } from '#engine/cloth/states/clothSizes.ts';
import type { OutlinePoint } from '#engine/cloth/states/outline.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';

export interface OutlineDrawingProps {
  readonly outlines: ClothOutlines;
  readonly system: LengthSystem;
}

/** Less of a difference in width than this share is an even edge. */
const EVEN = 0.005;
const STATES: readonly ClothState[] = ['onLoom', 'offLoom', 'finished'];

/** Both edges of the cloth, up the one and down the other; y grows downward on the page. */
function pathOf(points: readonly OutlinePoint[]): string {
  const right = points.map(({ atMm, widthMm }) => `${widthMm / 2} ${-atMm}`);
  const left = points.map(({ atMm, widthMm }) => `${-widthMm / 2} ${-atMm}`).reverse();
  return `M${[...right, ...left].join('L')}Z`;
}

/** The cloth's outline in its three states at one scale, the state shown the heavier, and where it is narrowest. */
export function OutlineDrawing({ outlines, system }: OutlineDrawingProps) {
  const shown = useTableState((state) => state.clothState);
  const all = STATES.flatMap((state) => outlines[state]);
  const wide = Math.max(...all.map(({ widthMm }) => widthMm));
  const tall = Math.max(1, ...all.map(({ atMm }) => atMm));
  const points = outlines[shown];
  const narrow = points.reduce((least, point) => (point.widthMm < least.widthMm ? point : least));
  const broad = points.reduce((most, point) => (point.widthMm > most.widthMm ? point : most));
  const length = (mm: number) => {
    const { text, unit } = quantity(mm, 'length', system);
    return `${text} ${unit}`;
  };
  const words =
    broad.widthMm - narrow.widthMm < EVEN * broad.widthMm
      ? `${STATE_WORDS[shown]}, its edges run straight.`
      : `${STATE_WORDS[shown]}, it is ${length(narrow.widthMm)} wide at its narrowest, ${length(narrow.atMm)} up, and ${length(broad.widthMm)} at its widest, ${length(broad.atMm)} up.`;
  return (
    <figure className="outline">
      <svg viewBox={`${-wide / 2} ${-tall} ${wide} ${tall}`} aria-hidden="true">
        {STATES.map((state) => (
          <path key={state} d={pathOf(outlines[state])} className={state === shown ? 'shown' : undefined} />
        ))}
      </svg>
      <figcaption className="soft">{words[0].toUpperCase() + words.slice(1)}</figcaption>
    </figure>
  );
}
