import { afterAll, describe, expect, test } from 'vitest';
import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { complement, reverseEnds } from '#engine/draft/transformDrawdown.ts';
import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { plainWeave, twill } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { strandOf } from '#tests/helpers/clothFixtures.ts';
import { openView } from '#tests/helpers/clothProbe.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';

/** From the threads to the pixels of the picture, through the real forecast. */

const SIZE = 120;
/** The handbook's cover is that of straight threads; light is sampled, so two pictures of one cloth differ a little. */
const COVER_SHARE = 0.02;
const SAME_PICTURE = 4 / 255;
const SQUARE = 12;

function geometryOf(problem: ClothProblem): ClothGeometry {
  return finish(forecastCloth(problem, 'settled')).geometry;
}

function linear(code: number): number {
  const c = code / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

function mean(pixels: Uint8ClampedArray, x: number, y: number, channel: number): number {
  let sum = 0;
  for (let j = y; j < y + SQUARE; j++) {
    for (let i = x; i < x + SQUARE; i++) sum += pixels[4 * (j * SIZE + i) + channel];
  }
  return sum / (SQUARE * SQUARE);
}

/** A yarn without twist, whose two sides look alike. */
const smooth = (id: string, diameterMm: number) => ({
  ...roundBody(id, diameterMm, 0.01),
  plies: 1,
  twistAngleRad: 0,
  twistTurnsPerM: 0,
});
const thin = smooth('thin', 0.3);
const thick = smooth('thick', 0.45);
const square = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0 };

describe('forecast cloth in pixels', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);

  for (const endsPerCm of [6, 10]) {
    test(`open plain weave at ${endsPerCm} ends/cm, held to the light: cover Kw + Kf − Kw·Kf (Peirce 1937)`, async () => {
      const problem = clothProblem({ weave: plainWeave(), rows: 40, ends: 40, endsPerCm, warp: [thin], weft: [thick] });
      const geometry = geometryOf(problem);
      const pitchX = 10 / endsPerCm;
      const pitchY = (geometry.rowYMm[39] - geometry.rowYMm[0]) / 39;
      view.setCloth(
        packCloth(
          problem,
          geometry,
          problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.5, 0.5])] })),
        ),
      );
      view.setOptions({ backLit: true });
      // Whole repeats fill the picture across; up, it is cut to whole repeats below.
      const pixelsPerMm = SIZE / (8 * pitchX);
      view.setView({ ...square, centreMm: [20 * pitchX, geometry.rowYMm[20]], pixelsPerMm });
      const repeatsUp = 2 * Math.floor(SIZE / pixelsPerMm / pitchY / 2);
      const height = Math.round(repeatsUp * pitchY * pixelsPerMm);
      const { pixels } = await view.capture(SIZE, height, 16);
      let open = 0;
      for (let p = 0; p < SIZE * height; p++) open += linear(pixels[4 * p]);
      const cover = 1 - open / (SIZE * height);
      const kw = thin.contactWidthMm / pitchX;
      const kf = thick.contactWidthMm / pitchY;
      expect(shaderErrors).toEqual([]);
      expect(Math.abs(cover / (kw + kf - kw * kf) - 1)).toBeLessThan(COVER_SHARE);
      view.setOptions({ backLit: false });
    });
  }

  test('the back is what a sample with lifts inverted and ends in reverse order shows on its face', async () => {
    const weave = blockDrawdown(
      [
        [0, 1],
        [1, 0],
      ],
      [plainWeave(), twill([3, 1])],
      8,
      8,
    );
    const colours: LinearRgb[] = [
      [0.7, 0.2, 0.1],
      [0.1, 0.3, 0.6],
    ];
    const common = { rows: 16, ends: 16, endsPerCm: 12, warp: [thin], weft: [thick] };
    const draw = async (problem: ClothProblem, turnedOver: boolean) => {
      view.setCloth(
        packCloth(
          problem,
          geometryOf(problem),
          colours.map((colour) => ({ strands: [strandOf(colour)] })),
        ),
      );
      view.setSize(SIZE, SIZE);
      view.setView({ ...square, turnedOver });
      view.setView(view.fitPose());
      const buffers = await view.readBuffers(SIZE, SIZE);
      return { buffers, pixels: (await view.capture(SIZE, SIZE, 24)).pixels };
    };
    const sample = clothProblem({ ...common, weave });
    const back = await draw(sample, true);
    const inverted = clothProblem({ ...common, weave: reverseEnds(complement(weave)) });
    const other = await draw({ ...inverted, rowEntersRight: inverted.rowEntersRight.map((right) => 1 - right) }, false);

    // Thread by thread: the end that is first on the face is last on the back.
    let same = 0;
    let threads = 0;
    const depths: number[] = [];
    for (let p = 0; p < SIZE * SIZE; p++) {
      const { kind, index, depthMm } = back.buffers;
      if (kind[p] === 0 && other.buffers.kind[p] === 0) continue;
      threads++;
      const mirrored = kind[p] === ThreadKind.warp ? common.ends - 1 - index[p] : index[p];
      if (kind[p] !== other.buffers.kind[p]) continue;
      if (kind[p] !== ThreadKind.extra && mirrored !== other.buffers.index[p]) continue;
      same++;
      depths.push(Math.abs(depthMm[p] - other.buffers.depthMm[p]));
    }
    depths.sort((x, y) => x - y);
    expect(threads).toBeGreaterThan(0.3 * SIZE * SIZE);
    expect(same / threads).toBeGreaterThan(0.99);
    expect(depths[Math.floor(0.99 * depths.length)]).toBeLessThan(0.01 * thin.contactHeightMm);

    // Colour by colour, over squares large enough to average the light's sampling out.
    const differences: number[] = [];
    for (let y = 0; y < SIZE; y += SQUARE) {
      for (let x = 0; x < SIZE; x += SQUARE) {
        for (let channel = 0; channel < 3; channel++) {
          differences.push(Math.abs(mean(back.pixels, x, y, channel) - mean(other.pixels, x, y, channel)) / 255);
        }
      }
    }
    differences.sort((x, y) => x - y);
    expect(differences[Math.floor(0.99 * differences.length)]).toBeLessThanOrEqual(SAME_PICTURE);
    const face = await draw(sample, false);
    expect(face.buffers.owner).not.toEqual(back.buffers.owner);
  });
});
