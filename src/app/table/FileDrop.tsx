import type { ReactNode } from 'react';
import { DropZone } from 'react-aria-components/DropZone';
import { useTable } from '#app/model/tableContext.ts';
import { yarnDragType } from '#app/model/yarnDrag.ts';

/** The whole page takes a sample file dropped anywhere on it. */
export function FileDrop({ children }: { readonly children: ReactNode }) {
  const table = useTable();
  return (
    <DropZone
      className="table file-drop"
      aria-label="Drop a sample file to open it"
      getDropOperation={(types) => (types.has(yarnDragType) ? 'cancel' : 'copy')}
      onDrop={(event) => {
        const file = event.items.find((item) => item.kind === 'file');
        if (file?.kind === 'file') void file.getFile().then((opened) => table.readFile(opened));
        else table.ui.getState().say('Only a sample file can be opened by dropping it here.');
      }}
    >
      {children}
    </DropZone>
  );
}
