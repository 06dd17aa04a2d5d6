import { type ReactNode, useRef } from 'react';
import { useDrop } from 'react-aria-components/useDrop';
import { useTable } from '#app/model/tableContext.ts';
import { yarnDragType } from '#app/model/yarnDrag.ts';

export interface YarnDropProps {
  readonly className: string;
  readonly label: string;
  /** A yarn is held over this place, px from the element's top left corner; undefined once it has left. */
  readonly onOver: (place: { readonly xPx: number; readonly yPx: number } | undefined) => void;
  readonly onYarn: (yarnId: string, place: { readonly xPx: number; readonly yPx: number }) => void;
  readonly children: ReactNode;
}

/** Somewhere that a yarn from the shelf can be dropped. Without a pointer: select, then Enter on the yarn. */
export function YarnDrop({ className, label, onOver, onYarn, children }: YarnDropProps) {
  const table = useTable();
  const ref = useRef<HTMLElement>(null);
  const { dropProps } = useDrop({
    ref,
    // Everything, files too: what is held back here would not reach the page, which opens files dropped anywhere.
    getDropOperation: () => 'copy',
    onDropEnter: (event) => onOver({ xPx: event.x, yPx: event.y }),
    onDropMove: (event) => onOver({ xPx: event.x, yPx: event.y }),
    onDropExit: () => onOver(undefined),
    onDrop: (event) => {
      onOver(undefined);
      for (const item of event.items) {
        if (item.kind === 'file') void item.getFile().then((file) => table.readFile(file));
        if (item.kind !== 'text' || !item.types.has(yarnDragType)) continue;
        const place = { xPx: event.x, yPx: event.y };
        void item.getText(yarnDragType).then((id) => onYarn(id, place));
      }
    },
  });
  return (
    <section {...dropProps} ref={ref} className={className} aria-label={label}>
      {children}
    </section>
  );
}
