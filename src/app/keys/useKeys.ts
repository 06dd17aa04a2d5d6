import { useEffect } from 'react';
import { tinykeys } from 'tinykeys';
import type { TableModel } from '#app/model/tableModel.ts';
import { isTyping, keyActions } from './keyList.ts';

/** Binds the page's keys while mounted. Single characters are silent while typing and when switched off. */
export function useKeys(table: TableModel): void {
  useEffect(() => {
    const bindings: Record<string, (event: KeyboardEvent) => void> = {};
    for (const action of keyActions) {
      bindings[action.keys] = (event) => {
        if (event.defaultPrevented || document.querySelector('dialog[open]')) return;
        if (action.single) {
          if (isTyping(event) || !table.ui.getState().preferences.keysOn) return;
          if (event.ctrlKey || event.metaKey || event.altKey) return;
        } else if (isTyping(event) && /z|y/.test(action.keys)) {
          return;
        }
        event.preventDefault();
        action.run(table);
      };
    }
    // "?" needs Shift on most keyboards; tinykeys wants modifiers to match exactly.
    bindings['Shift+?'] = bindings['?'];
    return tinykeys(window, bindings);
  }, [table]);
}
