import { describe, expect, it } from 'vitest';
import {
  blendings,
  distanceAtStop,
  distanceStops,
  distanceText,
  distanceWords,
  showTrueSize,
  standBack,
  stopAtDistance,
  trueMmPerPx,
} from '#app/model/distance.ts';
import { createTableStore } from '#app/model/tableState.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';

const readings = {
  endsPerCm: { value: 8, low: 7.9, high: 8.1 },
  picksPerCm: { value: 12.5, low: 11, high: 14 },
} as Readings;

describe('how far off cloth is held', () => {
  it('goes from 30 cm to 5 m in stops that each lie farther, and back to the same stop', () => {
    expect(distanceAtStop(0)).toBeNull();
    expect(distanceAtStop(1)).toBe(300);
    expect(distanceAtStop(distanceStops)).toBe(5000);
    for (let stop = 1; stop <= distanceStops; stop++) {
      const mm = distanceAtStop(stop)!;
      expect(stopAtDistance(mm)).toBe(stop);
      if (stop > 1) expect(mm / distanceAtStop(stop - 1)!).toBeGreaterThan(1.05);
    }
    expect(stopAtDistance(null)).toBe(0);
  });

  it('is said as a weaver says it', () => {
    expect([300, 950, 1200, 5000].map((mm) => distanceText(mm, 'cm'))).toEqual(['30 cm', '95 cm', '1.2 m', '5 m']);
    expect([304.8, 1000, 5000].map((mm) => distanceText(mm, 'inch'))).toEqual(['12 in', '3.3 ft', '16 ft']);
  });

  it('tells where 8 ends and 12.5 picks to the cm blend: one pair of 1.25 and 0.8 mm in 1 arcmin', () => {
    // 1 arcmin is 0.2909 mm a metre.
    expect(distanceWords(2000, readings, 'cm')).toBe(
      'Seen from 2 m, as by a good eye. Ends 1.25 mm apart blend beyond 4.3 m, picks 0.8 mm apart blend beyond 2.8 m.',
    );
    const [ends, picks] = blendings(readings, 2000);
    expect(ends.contrastLeft!).toBeGreaterThan(picks.contrastLeft!);
    expect(blendings(readings, null)[0].contrastLeft).toBeUndefined();
  });

  it('at true size is life size near by, and at its true angle farther off', () => {
    // CSS: 96 px to the inch.
    expect(trueMmPerPx(null, 96 / 25.4) * 96).toBeCloseTo(25.4, 9);
    // 100 mm at 3 m and at the screen, 60 cm off: the same angle where it is 20 mm on the screen.
    expect(100 / trueMmPerPx(3000, 4)).toBeCloseTo(20 * 4, 9);
    const ui = createTableStore();
    ui.getState().setSize({ widthPx: 400, heightPx: 300 });
    ui.getState().prefer({ pxPerMm: 5 });
    showTrueSize(ui);
    // A card of 85.60 mm (ISO/IEC 7810 ID-1) is then as wide as on the screen that was measured with it.
    expect(85.6 / ui.getState().pose.mmPerPx).toBeCloseTo(428, 9);
    expect(ui.getState().notice).toBe('Life size.');
  });

  it('grows a step back at a time, then comes near again', () => {
    const ui = createTableStore();
    const seen: (number | null)[] = [];
    for (let k = 0; k < 5; k++) {
      standBack(ui);
      seen.push(ui.getState().heldAtMm);
    }
    expect(seen).toEqual([1000, 2000, 3000, 5000, null]);
    ui.getState().holdAt(1500);
    standBack(ui);
    expect(ui.getState().heldAtMm).toBe(2000);
  });
});
