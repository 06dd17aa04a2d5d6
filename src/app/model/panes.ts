import { type PanelSize, type Pose, turnedOver } from './pose.ts';

/** What the panel shows: one picture, both sides beside each other, one cloth split in two, or versions beside it. */
export const SHOWN = ['one', 'sides', 'split', 'kept'] as const;
export type Shown = (typeof SHOWN)[number];

/** CSS px from the panel's top left. */
export interface PaneBox {
  readonly xPx: number;
  readonly yPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

export interface Pane {
  readonly frame: PaneBox;
  /** The part of the frame that is shown; all by default. */
  readonly clip?: PaneBox;
  /** The other side than the pose's. */
  readonly otherSide: boolean;
  /** 0 the sample on the table, 1 and up the versions beside it. */
  readonly cloth: number;
}

/** Side of the lens, and how many times nearer it brings the cloth: a whole cloth's threads become some px wide. */
const lensPx = 200;
export const lensCloser = 6;

/** The lens over a place of the panel: kept within it, no larger than half of it. */
export function lensBox({ widthPx, heightPx }: PanelSize, xPx: number, yPx: number): PaneBox {
  const side = Math.max(1, Math.min(lensPx, Math.floor(Math.min(widthPx, heightPx) / 2)));
  const within = (at: number, most: number) =>
    Math.round(Math.min(Math.max(at - side / 2, 0), Math.max(most - side, 0)));
  return { xPx: within(xPx, widthPx), yPx: within(yPx, heightPx), widthPx: side, heightPx: side };
}

/** At most this many pictures beside each other. */
export const MOST_BESIDE = 4;

/** Between pictures, so that a hairline fits. */
const gapPx = 2;

/**
 * The pictures of the panel. The first always begins at its top left: the ribbons of ends and picks stand along it.
 * @param splitAt where the split lies, 0..1 of the panel's width
 * @param cloths how many cloths are shown beside each other
 */
export function panesOf(shown: Shown, panel: PanelSize, splitAt: number, cloths: number): readonly Pane[] {
  const whole: PaneBox = { xPx: 0, yPx: 0, ...panel };
  switch (shown) {
    case 'one':
      return [{ frame: whole, otherSide: false, cloth: 0 }];
    case 'sides':
      return grid(panel, 2).map((frame, k) => ({ frame, otherSide: k === 1, cloth: 0 }));
    case 'kept':
      return grid(panel, cloths).map((frame, cloth) => ({ frame, otherSide: false, cloth }));
    case 'split': {
      const edge = Math.round(splitAt * panel.widthPx);
      return [
        { frame: whole, clip: { ...whole, widthPx: edge }, otherSide: false, cloth: 0 },
        { frame: whole, clip: { ...whole, xPx: edge, widthPx: panel.widthPx - edge }, otherSide: true, cloth: 0 },
      ];
    }
  }
}

/** Equal boxes, in as many columns as make them most nearly square. */
function grid({ widthPx, heightPx }: PanelSize, count: number): PaneBox[] {
  let columns = 1;
  let best = Number.POSITIVE_INFINITY;
  for (let tried = 1; tried <= count; tried++) {
    const rows = Math.ceil(count / tried);
    const unlike = Math.abs(Math.log((widthPx / tried || 1) / (heightPx / rows || 1))) + (tried * rows - count) * 0.5;
    if (unlike < best) {
      best = unlike;
      columns = tried;
    }
  }
  const rows = Math.ceil(count / columns);
  const width = Math.floor((widthPx - gapPx * (columns - 1)) / columns);
  const height = Math.floor((heightPx - gapPx * (rows - 1)) / rows);
  return Array.from({ length: count }, (_, k) => ({
    xPx: (k % columns) * (width + gapPx),
    yPx: Math.floor(k / columns) * (height + gapPx),
    widthPx: Math.max(width, 1),
    heightPx: Math.max(height, 1),
  }));
}

/** The picture at a place of the panel; the first where there is none. */
export function paneAt(panes: readonly Pane[], xPx: number, yPx: number): Pane {
  return panes.findLast(({ frame, clip }) => holds(clip ?? frame, xPx, yPx)) ?? panes[0];
}

function holds(box: PaneBox, xPx: number, yPx: number): boolean {
  return xPx >= box.xPx && yPx >= box.yPx && xPx < box.xPx + box.widthPx && yPx < box.yPx + box.heightPx;
}

/** The pose as a picture shows it. */
export function poseIn(pane: Pane, pose: Pose): Pose {
  return pane.otherSide ? turnedOver(pose) : pose;
}

/** The pose of all from the pose as a picture shows it. */
export function poseFrom(pane: Pane, shown: Pose): Pose {
  return pane.otherSide ? { ...shown, yawRad: shown.yawRad - Math.PI } : shown;
}
