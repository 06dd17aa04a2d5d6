import type { DragEvent, ReactNode } from 'react';
import { yarnDragType } from '#app/model/yarnDrag.ts';

export interface DropPlace {
  /** px from the element's top left corner. */
  readonly xPx: number;
  readonly yPx: number;
  /** Width of the element, px. */
  readonly widthPx: number;
}

export interface YarnDropProps {
  readonly className: string;
  /** A yarn is held over this place; undefined once it has left. */
  readonly onOver?: (place: DropPlace | undefined) => void;
  readonly onYarn: (yarnId: string, place: DropPlace) => void;
  readonly children: ReactNode;
}

/**
 * Somewhere that a yarn from the shelf can be dropped; other drags, files among them, pass on to the page. Without a
 * pointer the same is done by selecting picks or ends and pressing Enter on the yarn.
 */
export function YarnDrop({ className, onOver, onYarn, children }: YarnDropProps) {
  function placeOf(event: DragEvent<HTMLDivElement>): DropPlace {
    const box = event.currentTarget.getBoundingClientRect();
    return { xPx: event.clientX - box.left, yPx: event.clientY - box.top, widthPx: box.width };
  }

  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: takes drops only; see above for the way without a pointer
    <div
      className={className}
      onDragOver={(event) => {
        if (!event.dataTransfer.types.includes(yarnDragType)) return;
        event.preventDefault();
        event.dataTransfer.dropEffect = 'copy';
        onOver?.(placeOf(event));
      }}
      onDragLeave={(event) => {
        const to = event.relatedTarget;
        if (!(to instanceof Node && event.currentTarget.contains(to))) onOver?.(undefined);
      }}
      onDrop={(event) => {
        const yarnId = event.dataTransfer.getData(yarnDragType);
        if (yarnId === '') return;
        event.preventDefault();
        onOver?.(undefined);
        onYarn(yarnId, placeOf(event));
      }}
    >
      {children}
    </div>
  );
}
