import { type RefObject, useRef } from 'react';
import { Menu, MenuItem } from 'react-aria-components/Menu';
import { Popover } from 'react-aria-components/Popover';
import { useStore } from 'zustand';
import { commandKey } from '#app/keys/keyList.ts';
import { pickTarget } from '#app/model/pickActions.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { spanInWords } from '#document/commands/command.ts';
import { type PickDeed, pickDeeds } from './pickKeys.ts';

export interface PickMenuProps {
  /** The button that opened it; it lies under the pointer instead where the picks themselves were asked. */
  readonly buttonRef: RefObject<HTMLElement | null>;
}

/** What can be done to the picks chosen. */
export default function PickMenu({ buttonRef }: PickMenuProps) {
  const table = useTable();
  const { samples, ui } = table;
  const place = useTableState((state) => state.pickMenu);
  useTableState((state) => state.selection);
  useTableState((state) => state.cursorPick);
  const direct = useStore(samples.state, (state) => state.sample.loom.control.kind === 'directLift');
  const pointRef = useRef<HTMLSpanElement>(null);
  const words = spanInWords('pick', pickTarget(table));
  const close = () => ui.getState().showPickMenu(undefined);
  const items: readonly { readonly deed: PickDeed; readonly does: string; readonly key: string }[] = [
    { deed: 'next', does: 'Insert the next pick of the order', key: 'N' },
    { deed: 'same', does: 'Insert a pick with the same lift', key: 'S' },
    { deed: 'repeat', does: `Weave ${words} again`, key: `${commandKey} D` },
    { deed: 'lift', does: direct ? 'Change the lift…' : 'Choose the treadles…', key: 'L' },
    { deed: 'laying', does: 'Lay a weft only here; edges…', key: 'W' },
    { deed: 'wind', does: 'Wind another yarn together with it…', key: 'G' },
    { deed: 'unweave', does: `Unweave ${words}`, key: 'Del' },
  ];
  return (
    <>
      <span
        ref={pointRef}
        className="menu-point"
        style={place && place !== 'button' ? { left: `${place.xPx}px`, top: `${place.yPx}px` } : undefined}
      />
      <Popover
        className="menu"
        aria-label="Picks"
        triggerRef={place === 'button' ? buttonRef : pointRef}
        placement="bottom start"
        isOpen={place !== undefined}
        onOpenChange={(open) => {
          if (!open) close();
        }}
      >
        <Menu
          aria-label={`What to do with ${words}`}
          autoFocus="first"
          onAction={(key) => {
            close();
            pickDeeds[key as PickDeed](table);
          }}
        >
          {items.map(({ deed, does, key }) => (
            <MenuItem key={deed} id={deed} textValue={does} className="menu-item">
              <span>{does}</span> <kbd>{key}</kbd>
            </MenuItem>
          ))}
        </Menu>
      </Popover>
    </>
  );
}
