import { createStore, type StoreApi } from 'zustand/vanilla';
import type { ClothPlace } from '#engine/cloth/after/afterTypes.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { MarkedPlace } from './grinPlaces.ts';
import { type NoticeTerm, usualTerm } from './notices.ts';
import { MOST_BESIDE, type Pane, panesOf, type Shown } from './panes.ts';
import {
  type ClothExtent,
  fitted,
  maxMmPerPx,
  type PanelSize,
  type Pose,
  type PresetView,
  presetPose,
  turnedOver,
} from './pose.ts';
import { loadPreferences, type Preferences, savePreferences } from './preferences.ts';

/** A run of picks or of ends, inclusive, `from` <= `to`. */
export interface ThreadRange {
  readonly from: number;
  readonly to: number;
}

export type Selection = { readonly kind: 'picks' | 'ends'; readonly range: ThreadRange } | undefined;

/** What is done by hand to picks: a weft only here, yarns wound together. */
export type LayingPart = 'onlyHere' | 'wound';

/** What of weaves, planning, measuring and checking is open below the cloth. */
export type PlanPart = 'weaves' | 'reed' | 'yarn' | 'swatch' | 'checks';

/** How the picture fares: none yet, being drawn, at its finest, or not possible. */
export type PictureState = 'starting' | 'drawing' | 'settled' | 'lost' | 'impossible';

/** Whether there is no picture in the round, for now or for good. */
export function isGone(picture: PictureState): boolean {
  return picture === 'lost' || picture === 'impossible';
}

/** What the page shows, as against what the sample is: nothing here is saved or undone. */
export interface TableState {
  readonly pose: Pose;
  /** Of the first picture, along which the ribbons stand; of the panel as well where there is one picture. */
  readonly size: PanelSize;
  readonly panel: PanelSize;
  readonly shown: Shown;
  /** Where a split cloth changes sides, 0..1 of the panel's width. */
  readonly splitAt: number;
  /** Names of the kept versions that are drawn beside the sample. */
  readonly beside: readonly string[];
  readonly panes: readonly Pane[];
  readonly extent: ClothExtent | undefined;
  /** True until the designer moves the view herself: the cloth is then refitted when its size changes. */
  readonly fits: boolean;
  readonly moving: boolean;
  readonly selection: Selection;
  readonly cursorPick: number;
  readonly cursorEnd: number;
  /** What a drag in the beat has hold of just now, and where: px from the top of the cloth. */
  readonly beatHeld: { readonly range: ThreadRange; readonly firmness: number; readonly yPx: number } | undefined;
  readonly chosenYarnId: string | undefined;
  readonly drawerOpen: boolean;
  /** What is done after the loom is open below the cloth. */
  readonly afterOpen: boolean;
  /** Reed and beat, yarn and time, or half way up and the own swatch, open below the cloth. */
  readonly planOpen: PlanPart | undefined;
  /** Wefts laid by hand and edges are open beside the picks chosen. */
  readonly layingShown: boolean;
  /** The weft that was meant when they were opened; undefined where none was. */
  readonly layingYarnId: string | undefined;
  /** Which part of what is done by hand has been asked for. */
  readonly layingPart: LayingPart;
  /** A line being drawn on the cloth: for which treatment (from 1), and its places so far. */
  readonly lineDrawn: { readonly place: number; readonly line: readonly ClothPlace[] } | undefined;
  readonly keysShown: boolean;
  /** The dialog that asks for a picture to save is open. */
  readonly pictureShown: boolean;
  /** The lift of the picks chosen is open beside them. */
  readonly liftShown: boolean;
  /** Where the menu on the picks is open: at its button, or at a place on the screen, px. */
  readonly pickMenu: 'button' | { readonly xPx: number; readonly yPx: number } | undefined;
  readonly picture: PictureState;
  /** Whether it still shows the cloth before the last change. */
  readonly pictureEarlier: boolean;
  /** Why there is no picture, in plain words. */
  readonly pictureTrouble: string | undefined;
  /** Last message for the status line; spoken by screen readers. */
  readonly notice: string;
  /** How long it stands; another object with every message. */
  readonly noticeTerm: NoticeTerm;
  readonly preferences: Preferences;
  /** How far the turning light has come round, 0..1, and whether it goes on by itself. */
  readonly lightTurn: number;
  readonly lightTurning: boolean;

  /** On the loom, off it, or finished. */
  readonly clothState: ClothState;
  /** How far off the cloth is held, as the eye has it, mm; null as near as drawn. */
  readonly heldAtMm: number | null;
  /** Greys of the same lightness in place of colours. */
  readonly lightnessOnly: boolean;
  /** Where the lens is held, px of the panel from its top left; undefined without one. */
  readonly lensAt: { readonly xPx: number; readonly yPx: number } | undefined;
  /** Where a pointer is over the cloth, px of the panel; undefined while it is elsewhere. */
  readonly pointedAt: { readonly xPx: number; readonly yPx: number } | undefined;

  /** A place shown on the cloth itself, as from a map of it. */
  readonly marked: MarkedPlace | undefined;

  setPose(pose: Pose): void;
  moveBy(change: (pose: Pose, size: PanelSize, extent: ClothExtent) => Pose): void;
  setMoving(moving: boolean): void;
  setSize(panel: PanelSize): void;
  show(shown: Shown): void;
  splitTo(splitAt: number): void;
  showBeside(names: readonly string[]): void;
  setExtent(extent: ClothExtent): void;
  fit(): void;
  showPreset(preset: PresetView): void;
  /** As a cloth is laid on the table: face up, square on, all of it in view. */
  layFaceUp(): void;
  turnOver(): void;
  select(selection: Selection): void;
  setCursor(kind: 'picks' | 'ends', index: number): void;
  holdBeat(held: TableState['beatHeld']): void;
  chooseYarn(id: string | undefined): void;
  toggleDrawer(): void;
  toggleAfter(): void;
  togglePlan(part: PlanPart): void;
  showLaying(shown: boolean, yarnId?: string, part?: LayingPart): void;
  drawLine(drawn: TableState['lineDrawn']): void;
  showKeys(shown: boolean): void;
  showPicture(shown: boolean): void;
  showLift(shown: boolean): void;
  showPickMenu(place: TableState['pickMenu']): void;
  setPicture(picture: PictureState, trouble?: string): void;
  setEarlier(pictureEarlier: boolean): void;
  say(notice: string, term?: Partial<NoticeTerm>): void;
  prefer(change: Partial<Preferences>): void;
  turnLightTo(lightTurn: number): void;
  setLightTurning(turning: boolean): void;
  showState(clothState: ClothState): void;
  holdAt(heldAtMm: number | null): void;
  showLightness(lightnessOnly: boolean): void;
  holdLens(at: TableState['lensAt']): void;
  mark(place: MarkedPlace | undefined): void;
  pointAt(at: TableState['pointedAt']): void;
}

const closed = { drawerOpen: false, afterOpen: false, planOpen: undefined, lineDrawn: undefined } as const;

const emptyExtent: ClothExtent = { minXMm: 0, maxXMm: 100, minYMm: 0, maxYMm: 100 };

export type TableStore = StoreApi<TableState>;

const noSize: PanelSize = { widthPx: 0, heightPx: 0 };

export function createTableStore(): TableStore {
  const preferences = loadPreferences();
  return createStore<TableState>()((set, get) => ({
    pose: { targetXMm: 50, targetYMm: 50, yawRad: 0, pitchRad: 0, mmPerPx: Math.min(0.25, maxMmPerPx) },
    size: noSize,
    panel: noSize,
    shown: 'one',
    splitAt: 0.5,
    beside: [],
    panes: panesOf('one', noSize, 0.5, 1),
    extent: undefined,
    fits: true,
    moving: false,
    selection: undefined,
    cursorPick: 0,
    cursorEnd: 0,
    beatHeld: undefined,
    chosenYarnId: undefined,
    drawerOpen: false,
    afterOpen: false,
    planOpen: undefined,
    layingShown: false,
    layingYarnId: undefined,
    layingPart: 'onlyHere',
    lineDrawn: undefined,
    keysShown: false,
    pictureShown: false,
    liftShown: false,
    pickMenu: undefined,
    picture: 'starting',
    pictureEarlier: false,
    pictureTrouble: undefined,
    notice: '',
    noticeTerm: usualTerm,
    preferences,
    lightTurn: 0.15,
    // Nothing begins to move by itself as the page opens.
    lightTurning: false,
    clothState: 'onLoom',
    heldAtMm: null,
    lightnessOnly: false,
    lensAt: undefined,
    pointedAt: undefined,
    marked: undefined,

    setPose: (pose) => set({ pose }),
    moveBy: (change) => {
      const { pose, size, extent } = get();
      set({ pose: change(pose, size, extent ?? emptyExtent), fits: false });
    },
    setMoving: (moving) => {
      if (get().moving !== moving) set({ moving });
    },
    setSize: (panel) => {
      const old = get().panel;
      if (panel.widthPx !== old.widthPx || panel.heightPx !== old.heightPx) set(arranged(get(), { panel }));
    },
    show: (shown) => set(arranged(get(), { shown })),
    splitTo: (splitAt) => set(arranged(get(), { splitAt: Math.min(Math.max(splitAt, 0), 1) })),
    showBeside: (names) => set(arranged(get(), { beside: names.slice(0, MOST_BESIDE - 1) })),
    setExtent: (extent) => {
      const old = get();
      const first = old.extent === undefined;
      set({ extent });
      if (first || old.fits) set({ pose: fitted(old.pose, extent, old.size) });
    },
    fit: () => {
      const { pose, extent, size } = get();
      if (extent) set({ pose: fitted(pose, extent, size), fits: true });
    },
    showPreset: (preset) => {
      const { pose, extent, size } = get();
      const turned = presetPose(pose, preset);
      set({ pose: extent ? fitted(turned, extent, size) : turned, fits: true });
    },
    layFaceUp: () => {
      const { pose, extent, size } = get();
      const laid = { ...pose, yawRad: 0, pitchRad: 0 };
      set({ pose: extent ? fitted(laid, extent, size) : laid, fits: true });
    },
    turnOver: () => set({ pose: turnedOver(get().pose) }),
    select: (selection) => set({ selection }),
    setCursor: (kind, index) => set(kind === 'picks' ? { cursorPick: index } : { cursorEnd: index }),
    holdBeat: (beatHeld) => set({ beatHeld }),
    chooseYarn: (chosenYarnId) => set({ chosenYarnId }),
    // One drawer at a time, so that the cloth keeps its room.
    toggleDrawer: () => set({ ...closed, drawerOpen: !get().drawerOpen }),
    toggleAfter: () => set({ ...closed, afterOpen: !get().afterOpen }),
    togglePlan: (part) => set({ ...closed, planOpen: get().planOpen === part ? undefined : part }),
    showLaying: (layingShown, layingYarnId, layingPart = 'onlyHere') =>
      set({ layingShown, layingYarnId, layingPart, liftShown: false }),
    drawLine: (lineDrawn) => set({ lineDrawn }),
    showKeys: (keysShown) => set({ keysShown }),
    showPicture: (pictureShown) => set({ pictureShown }),
    showLift: (liftShown) => set({ liftShown, layingShown: false }),
    showPickMenu: (pickMenu) => set({ pickMenu }),
    setPicture: (picture, pictureTrouble) =>
      set({ picture, pictureTrouble, pictureEarlier: !isGone(picture) && get().pictureEarlier }),
    setEarlier: (earlier) => {
      const pictureEarlier = earlier && !isGone(get().picture);
      if (pictureEarlier !== get().pictureEarlier) set({ pictureEarlier });
    },
    say: (notice, term) => set({ notice, noticeTerm: { ...usualTerm, ...term } }),
    prefer: (change) => {
      const preferences = { ...get().preferences, ...change };
      savePreferences(preferences);
      set({ preferences });
    },
    showState: (clothState) => set({ clothState }),
    turnLightTo: (lightTurn) => set({ lightTurn }),
    setLightTurning: (lightTurning) => set({ lightTurning }),
    holdAt: (heldAtMm) => set({ heldAtMm }),
    showLightness: (lightnessOnly) => set({ lightnessOnly }),
    holdLens: (lensAt) => set({ lensAt }),
    mark: (marked) => set({ marked }),
    pointAt: (pointedAt) => set({ pointedAt }),
  }));
}

/** Pictures and their size after a change of what is shown; a whole cloth in view stays whole. */
function arranged(
  old: TableState,
  change: Partial<Pick<TableState, 'panel' | 'shown' | 'splitAt' | 'beside'>>,
): Partial<TableState> {
  const { panel, shown, splitAt, beside } = { ...old, ...change };
  const panes = panesOf(shown, panel, splitAt, 1 + beside.length);
  const { widthPx, heightPx } = panes[0].frame;
  const sameSize = widthPx === old.size.widthPx && heightPx === old.size.heightPx;
  if (sameSize) return { ...change, panes };
  const size = { widthPx, heightPx };
  const pose = old.fits && old.extent ? fitted(old.pose, old.extent, size) : old.pose;
  return { ...change, panes, size, pose };
}
