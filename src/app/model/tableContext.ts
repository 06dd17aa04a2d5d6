import { createContext, useContext } from 'react';
import { useStore } from 'zustand';
import type { TableModel } from './tableModel.ts';
import type { TableState } from './tableState.ts';

export const TableContext = createContext<TableModel | undefined>(undefined);

/** The table that this part of the page belongs to. */
export function useTable(): TableModel {
  const table = useContext(TableContext);
  if (!table) throw new Error('A part of the table stands outside <TableContext>: wrap it in the provider.');
  return table;
}

export function useTableState<Part>(select: (state: TableState) => Part): Part {
  return useStore(useTable().ui, select);
}
