import { beatWholeCloth } from '#app/model/beatActions.ts';
import { showKept } from '#app/model/beside.ts';
import { distanceWords, showTrueSize, standBack } from '#app/model/distance.ts';
import { layLensDown, takeLens } from '#app/model/lens.ts';
import { stepLight } from '#app/model/lighting.ts';
import type { TableModel } from '#app/model/tableModel.ts';
import { turnOver } from '#app/model/turning.ts';

/** One thing the page does from the keyboard; the list of keys and the keys themselves come from the same place. */
export interface KeyAction {
  /** As tinykeys writes it; matched on the character typed, so it holds on every keyboard layout. */
  readonly keys: string;
  /** As people write it; empty for a second way to do what another key does. */
  readonly shown: string;
  readonly does: string;
  /** Single characters fall silent when the reader switches them off; chords do not. */
  readonly single: boolean;
  run(table: TableModel): void;
}

/** The key that commands are held with, as this machine's keyboard names it. */
export const commandKey = /Mac|iPad|iPhone/.test(navigator.platform) ? '⌘' : 'Ctrl';

export const keyActions: readonly KeyAction[] = [
  { keys: 't', shown: 'T', does: 'Turn over', single: true, run: (table) => turnOver(table.ui) },
  { keys: '1', shown: '1', does: 'Look square on', single: true, run: ({ ui }) => ui.getState().showPreset('square') },
  {
    keys: '2',
    shown: '2',
    does: 'Look with the cloth turned',
    single: true,
    run: ({ ui }) => ui.getState().showPreset('turned'),
  },
  {
    keys: '3',
    shown: '3',
    does: 'Look low along the cloth',
    single: true,
    run: ({ ui }) => ui.getState().showPreset('low'),
  },
  {
    keys: '4',
    shown: '4',
    does: 'True size, as seen from where it is held',
    single: true,
    run: ({ ui }) => showTrueSize(ui),
  },
  { keys: '0', shown: '0', does: 'Whole cloth in view', single: true, run: ({ ui }) => ui.getState().fit() },
  { keys: 'o', shown: 'O', does: 'One side, both sides, split', single: true, run: ({ ui }) => showNext(ui) },
  { keys: 's', shown: 'S', does: 'On the loom, off it, finished', single: true, run: ({ ui }) => showNextState(ui) },
  { keys: 'i', shown: 'I', does: 'Next light', single: true, run: ({ ui }) => stepLight(ui, 1) },
  { keys: 'Shift+I', shown: 'Shift I', does: 'Last light', single: true, run: ({ ui }) => stepLight(ui, -1) },
  { keys: 'b', shown: 'B', does: 'Stand back: 1, 2, 3, 5 m, near again', single: true, run: stepBack },
  {
    keys: 'v',
    shown: 'V',
    does: 'Lightness only, or colours again',
    single: true,
    run: ({ ui }) => ui.getState().showLightness(!ui.getState().lightnessOnly),
  },
  { keys: 'z', shown: 'Z', does: 'Lens: threads near at the pointer', single: true, run: ({ ui }) => takeLens(ui) },
  {
    keys: 'f',
    shown: 'F',
    does: 'Beat the whole cloth firmer',
    single: true,
    run: (table) => beatWholeCloth(table, 1),
  },
  {
    keys: 'Shift+F',
    shown: 'Shift F',
    does: 'Beat the whole cloth looser',
    single: true,
    run: (table) => beatWholeCloth(table, -1),
  },
  { keys: 'd', shown: 'D', does: 'Draft drawer', single: true, run: ({ ui }) => ui.getState().toggleDrawer() },
  { keys: 'a', shown: 'A', does: 'After the loom', single: true, run: ({ ui }) => ui.getState().toggleAfter() },
  {
    keys: 'w',
    shown: 'W',
    does: 'Weaves, blocks, trial strip',
    single: true,
    run: ({ ui }) => ui.getState().togglePlan('weaves'),
  },
  {
    keys: 'r',
    shown: 'R',
    does: 'Reed, beat, pauses',
    single: true,
    run: ({ ui }) => ui.getState().togglePlan('reed'),
  },
  { keys: 'y', shown: 'Y', does: 'Yarn, time', single: true, run: ({ ui }) => ui.getState().togglePlan('yarn') },
  {
    keys: 'h',
    shown: 'H',
    does: 'Half way up, own swatch',
    single: true,
    run: ({ ui }) => ui.getState().togglePlan('swatch'),
  },
  {
    keys: 'x',
    shown: 'X',
    does: 'Checks, loom fit, what if',
    single: true,
    run: ({ ui }) => ui.getState().togglePlan('checks'),
  },
  {
    keys: 'c',
    shown: 'C',
    does: 'Compare with the versions kept beside',
    single: true,
    run: ({ ui, samples }) => showKept(ui, samples.state.getState().sample),
  },
  { keys: 'k', shown: 'K', does: 'Keep this version', single: true, run: (table) => table.keepVersion() },
  {
    keys: 'p',
    shown: 'P',
    does: 'Save a picture',
    single: true,
    run: ({ ui }) => ui.getState().showPicture(true),
  },
  {
    keys: '$mod+z',
    shown: `${commandKey} Z`,
    does: 'Undo',
    single: false,
    run: (table) => table.samples.undo(),
  },
  {
    keys: '$mod+Shift+z',
    shown: `${commandKey} Shift Z`,
    does: 'Redo',
    single: false,
    run: (table) => table.samples.redo(),
  },
  { keys: '$mod+y', shown: '', does: 'Redo', single: false, run: (table) => table.samples.redo() },
  {
    keys: '$mod+s',
    shown: `${commandKey} S`,
    does: 'Save to a file',
    single: false,
    run: (table) => void table.saveFile(),
  },
  {
    keys: '$mod+o',
    shown: `${commandKey} O`,
    does: 'Open a file',
    single: false,
    run: (table) => void table.openFile(),
  },
  {
    keys: 'Escape',
    shown: 'Esc',
    does: 'Put the lens away, else unmark a place, else select no picks or ends',
    single: true,
    run: ({ ui }) => leave(ui),
  },
  { keys: '?', shown: '?', does: 'This list of keys', single: true, run: ({ ui }) => ui.getState().showKeys(true) },
];

/** Keys that act on whichever part has the focus; listed, not bound here. */
export const focusedKeys: readonly { readonly where: string; readonly shown: string; readonly does: string }[] = [
  { where: 'Cloth', shown: 'Arrows', does: 'Tilt; with Shift, move along' },
  { where: 'Cloth', shown: 'Arrows', does: 'Move the lens, while it is up' },
  { where: 'Cloth', shown: '+ −', does: 'Nearer, farther' },
  { where: 'Cloth', shown: 'Home', does: 'Whole cloth in view' },
  { where: 'Split', shown: '← →', does: 'Move the edge between face and back' },
  { where: 'Picks, ends', shown: 'Arrows', does: 'Move; with Shift, select' },
  { where: 'Picks, ends', shown: `${commandKey} A`, does: 'Select all' },
  { where: 'Picks', shown: 'N', does: 'Insert the next pick of the order' },
  { where: 'Picks', shown: 'S', does: 'Insert a pick with the same lift' },
  { where: 'Picks', shown: `${commandKey} D`, does: 'Weave the selected picks again' },
  { where: 'Picks', shown: 'L', does: 'Change the lift, or choose the treadles' },
  { where: 'Picks', shown: 'W', does: 'Lay a weft only here, or change the edges' },
  { where: 'Picks', shown: 'G', does: 'Wind another yarn together with the weft, or take one out' },
  { where: 'Picks', shown: 'Del', does: 'Unweave the selected picks' },
  { where: 'Picks', shown: 'M', does: 'Menu of all this' },
  { where: 'Draft', shown: '+ −', does: 'Larger, smaller; arrows scroll' },
  { where: 'Draft', shown: 'Home', does: 'To the place seen in the cloth' },
  {
    where: 'Grin-through',
    shown: 'Arrows',
    does: 'From place to place; Home, where most shows; Enter goes there on the cloth',
  },
  { where: 'Beat', shown: '← →', does: 'Looser, firmer on the selected picks, else on the pick under the cursor' },
  { where: 'Yarns', shown: 'Enter', does: 'Weave with it on the selected picks or ends' },
];

/** One side, then both beside each other, then one cloth split. */
function showNext(ui: TableModel['ui']): void {
  const { shown, show } = ui.getState();
  show(shown === 'one' ? 'sides' : shown === 'sides' ? 'split' : 'one');
}

function showNextState(ui: TableModel['ui']): void {
  const { clothState, showState } = ui.getState();
  showState(clothState === 'onLoom' ? 'offLoom' : clothState === 'offLoom' ? 'finished' : 'onLoom');
}

/** What was taken up last on the cloth goes first. */
function leave(ui: TableModel['ui']): void {
  const { lensAt, marked, mark, select } = ui.getState();
  if (lensAt) layLensDown(ui);
  else if (marked) mark(undefined);
  else select(undefined);
}

function stepBack({ ui, forecast }: TableModel): void {
  standBack(ui);
  const { heldAtMm, preferences, say } = ui.getState();
  const { result } = forecast.state.getState();
  say(distanceWords(heldAtMm, result?.readings, preferences.lengthSystem), { goesWith: ['distance', 'sample'] });
}

/** Fields that take no letters: a shortcut pressed while one of them has the focus is meant as such. */
const notTyped = '[type="range"], [type="checkbox"], [type="radio"], [type="button"]';

/** Whether the event comes from something that takes text, where single keys must stay silent. */
export function isTyping(event: KeyboardEvent): boolean {
  const target = event.composedPath()[0];
  if (!(target instanceof HTMLElement)) return false;
  return target.isContentEditable || target.matches(`input:not(${notTyped}), textarea, select`);
}
