import { describe, expect, it } from 'vitest';
import { pressSides } from '#engine/cloth/heights/passingRoom.ts';
import { edgesAt, SAMPLES, sectionProfiles } from '#engine/cloth/heights/sectionSum.ts';
import { type WrapNode, wrapSegment } from '#engine/cloth/heights/wrapSegment.ts';

const OWN_HALF = 0.1;

/** A thread of half height 0.1 between two sections, each of half width a and half height 0.1, over the first, under the second. */
function between(
  halfWidths: readonly [number, number],
  yields: readonly [number, number],
  pitchMm: number,
  riseMm: number,
) {
  const halfHeightMm = Float64Array.of(0.1, 0.1);
  const sections = sectionProfiles(Float64Array.of(OWN_HALF), Float64Array.from(halfWidths), halfHeightMm);
  const node = (side: 1 | -1, index: number): WrapNode => ({
    side,
    height: side * (0.2 - riseMm / 2),
    slope: 0,
    centre: (-side * riseMm) / 2,
    clear: 0.2,
    rise: 0.2,
    edges: Float64Array.from(edgesAt(sections, index, 0, pitchMm)),
  });
  const [from, to] = [node(1, 0), node(-1, 1)];
  const before = [from.edges, to.edges];
  const passed = { sections, halfHeightMm, yields: Uint8Array.from(yields) };
  pressSides(passed, 0, OWN_HALF, pitchMm, from, to, 0, 1, 0, 0);
  const pressed = [from.edges !== before[0], to.edges !== before[1]];
  // The next call takes the same memory.
  for (const node of [from, to]) node.edges = node.edges.slice();
  return { from, to, pressed };
}

/** Distance from its node within which a section is met, mm, to the next of the samples. */
const reachOf = ({ edges }: WrapNode, pitchMm: number): number =>
  ((edges.findIndex((edge) => edge < -1) + SAMPLES + 1) % (SAMPLES + 1)) * (pitchMm / (SAMPLES + 1));

describe('sections between which a thread dives', () => {
  it('stay as they are where both fit beside it', () => {
    expect(between([0.12, 0.12], [1, 1], 0.45, 0.2).pressed).toEqual([false, false]);
  });

  it('give back what they spread by, and no more, at and beyond the jam of round threads (F. T. Peirce 1937)', () => {
    // Of both heights alike: jammed at p = √3/2 of D = 0.4, that is 0.346.
    const pitch = 0.37;
    const { from, to, pressed } = between([0.14, 0.14], [1, 1], pitch, 0.2);
    expect(pressed).toEqual([true, true]);
    expect(Math.abs(reachOf(from, pitch) - 0.2)).toBeLessThan(pitch / SAMPLES);
    expect(reachOf(to, pitch)).toBeCloseTo(reachOf(from, pitch), 12);
  });

  it('beyond the jam leave a way all the same: the wrap clears both', () => {
    for (const pitch of [0.34, 0.3, 0.26]) {
      const { from, to } = between([0.14, 0.14], [1, 1], pitch, 0.2);
      const wrap = new Float64Array(2);
      wrapSegment(from, to, pitch, 1, wrap);
      for (let k = 0; k < SAMPLES; k++) {
        const u = (k + 1) / (SAMPLES + 1);
        const v = 1 - u;
        const z =
          v * v * (1 + 2 * u) * from.height +
          u * u * (1 + 2 * v) * to.height +
          (u * v) ** 2 * (v * wrap[0] + u * wrap[1]);
        expect(from.centre + 0.2 * from.edges[k] - z, `pitch ${pitch}, sample ${k}`).toBeLessThan(0.02);
        expect(z - (to.centre - 0.2 * to.edges[SAMPLES - 1 - k]), `pitch ${pitch}, sample ${k}`).toBeLessThan(0.02);
      }
    }
  });

  it('that do not yield stay', () => {
    const pitch = 0.37;
    expect(between([0.14, 0.14], [0, 1], pitch, 0.2).pressed).toEqual([false, true]);
    expect(between([0.14, 0.14], [0, 0], pitch, 0.2).pressed).toEqual([false, false]);
  });

  it('give further where the thread passes over the higher and under the lower of them', () => {
    const pitch = 0.34;
    const usual = between([0.14, 0.14], [1, 1], pitch, 0.2);
    const stitched = between([0.14, 0.14], [1, 1], pitch, -0.1);
    expect(reachOf(stitched.from, pitch)).toBeLessThan(reachOf(usual.from, pitch));
  });
});
