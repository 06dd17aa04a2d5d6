import { describe, expect, it } from 'vitest';
import { lensOf } from '#app/model/lens.ts';
import { lensBox, type Pane, paneAt, panesOf, poseFrom, poseIn, type Shown } from '#app/model/panes.ts';
import { clothPointAt, type Pose, panned, screenPointOf } from '#app/model/pose.ts';

const panels = [
  { widthPx: 1200, heightPx: 700 },
  { widthPx: 250, heightPx: 330 },
  { widthPx: 801, heightPx: 799 },
];
const layouts: readonly (readonly [Shown, number])[] = [
  ['one', 1],
  ['sides', 1],
  ['kept', 2],
  ['kept', 3],
  ['kept', 4],
];

describe.each(panels)('a panel of $widthPx × $heightPx', (panel) => {
  it.each(layouts)('holds the pictures of "%s" (%i cloths) without overlap, alike in size', (shown, cloths) => {
    const panes = panesOf(shown, panel, 0.5, cloths);
    const seen = new Set<Pane>();
    for (const { frame } of panes) {
      expect(frame.widthPx).toBe(panes[0].frame.widthPx);
      expect(frame.heightPx).toBe(panes[0].frame.heightPx);
      expect(frame.xPx + frame.widthPx).toBeLessThanOrEqual(panel.widthPx);
      expect(frame.yPx + frame.heightPx).toBeLessThanOrEqual(panel.heightPx);
    }
    for (const one of panes) {
      for (const [x, y] of [
        [0, 0],
        [one.frame.widthPx - 1, one.frame.heightPx - 1],
      ]) {
        expect(paneAt(panes, one.frame.xPx + x, one.frame.yPx + y)).toBe(one);
      }
      seen.add(one);
    }
    expect(seen.size).toBe(shown === 'sides' ? 2 : cloths);
    // The ribbons begin at the panel's top left.
    expect([panes[0].frame.xPx, panes[0].frame.yPx]).toEqual([0, 0]);
    const area = panes.length * panes[0].frame.widthPx * panes[0].frame.heightPx;
    expect(area / (panel.widthPx * panel.heightPx)).toBeGreaterThan(0.7);
  });

  it('splits one picture at its edge', () => {
    const panes = panesOf('split', panel, 0.3, 1);
    const edge = Math.round(0.3 * panel.widthPx);
    expect(paneAt(panes, edge - 1, 5)).toBe(panes[0]);
    expect(paneAt(panes, edge, 5)).toBe(panes[1]);
    expect(panes[0].frame).toEqual(panes[1].frame);
    expect([panes[0].otherSide, panes[1].otherSide]).toEqual([false, true]);
  });
});

it('a hand moves the cloth along with it on either side', () => {
  const size = { widthPx: 400, heightPx: 300 };
  const extent = { minXMm: -500, maxXMm: 500, minYMm: -500, maxYMm: 500 };
  const pose: Pose = { targetXMm: 3, targetYMm: 4, yawRad: 0, pitchRad: 0, mmPerPx: 0.2 };
  for (const pane of panesOf('sides', { widthPx: 802, heightPx: 300 }, 0.5, 1)) {
    const before = poseIn(pane, pose);
    const held = clothPointAt(before, size, 250, 100)!;
    const after = poseIn(pane, poseFrom(pane, panned(before, 30, -20, extent)));
    const { xPx, yPx } = screenPointOf(after, size, held.xMm, held.yMm);
    expect(xPx).toBeCloseTo(280, 6);
    expect(yPx).toBeCloseTo(80, 6);
    expect(poseFrom(pane, before).yawRad).toBeCloseTo(pose.yawRad, 12);
  }
});

describe('the lens', () => {
  it('stays within its panel, its middle under the hand where there is room', () => {
    for (const panel of panels) {
      const middle = lensBox(panel, panel.widthPx / 2, panel.heightPx / 2);
      expect(Math.abs(middle.xPx + middle.widthPx / 2 - panel.widthPx / 2)).toBeLessThanOrEqual(1);
      for (const [x, y] of [
        [0, 0],
        [panel.widthPx, panel.heightPx],
      ]) {
        const { xPx, yPx, widthPx, heightPx } = lensBox(panel, x, y);
        expect(Math.min(xPx, yPx)).toBeGreaterThanOrEqual(0);
        expect(xPx + widthPx).toBeLessThanOrEqual(panel.widthPx);
        expect(yPx + heightPx).toBeLessThanOrEqual(panel.heightPx);
      }
    }
  });

  it('shows the point of the cloth that is under the hand, on either side', () => {
    const panel = { widthPx: 802, heightPx: 300 };
    const size = { widthPx: 400, heightPx: 300 };
    const pose: Pose = { targetXMm: 3, targetYMm: 4, yawRad: 0.4, pitchRad: -0.2, mmPerPx: 0.2 };
    const panes = panesOf('sides', panel, 0.5, 1);
    for (const pane of panes) {
      const lensAt = { xPx: pane.frame.xPx + 120, yPx: 90 };
      const { centreMm, pane: below } = lensOf({ lensAt, panel, panes, pose, size })!;
      expect(below).toBe(pane);
      const { xPx, yPx } = screenPointOf(poseIn(pane, pose), size, centreMm[0], centreMm[1]);
      expect(xPx).toBeCloseTo(120, 6);
      expect(yPx).toBeCloseTo(90, 6);
    }
    expect(lensOf({ lensAt: undefined, panel, panes, pose, size })).toBeUndefined();
  });
});
