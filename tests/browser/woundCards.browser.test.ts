import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { colourDifference, hexFromLinear, type LinearRgb, lightness, linearFromHex } from '#engine/colour/colour.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { packWoundCard } from '#engine/packing/woundCard.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import type { ClothLight } from '#render/clothViewTypes.ts';
import { LIGHTS } from '#render/lights.ts';
import { skyOnCard } from '#render/lightUniforms.ts';
import { openView } from '#tests/helpers/clothProbe.ts';

const SIDE_PX = 64;
const SIDE_MM = 7.4;
const KELP: LinearRgb = linearFromHex('#7f9360');

const presets = await readAllYarnPresets();
let opened: ReturnType<typeof openView>;

beforeEach(() => {
  opened = openView();
});

afterEach(() => {
  opened.close();
  expect(opened.shaderErrors).toEqual([]);
});

function cardOf(id: string): PackedCloth {
  const preset = presets.find((one) => one.id === id)!;
  const steps = packWoundCard({ ...preset, coneColour: hexFromLinear(KELP) }, SIDE_MM);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** Steps as the page does, a slice at a time, until the picture is there. */
async function drawn(cloth: PackedCloth, light: ClothLight, meanwhile?: (slices: number) => void) {
  let pixels: Uint8ClampedArray | undefined;
  opened.view.orderCard({
    cloth,
    light,
    sidePx: SIDE_PX,
    sideMm: SIDE_MM,
    onDone: (done) => {
      pixels = done;
    },
  });
  expect(opened.view.takesCard).toBe(false);
  for (let slices = 0; !pixels; slices++) {
    opened.view.stepCard();
    meanwhile?.(slices);
    await new Promise((resolve) => setTimeout(resolve, 4));
  }
  expect(opened.view.takesCard).toBe(true);
  return pixels;
}

function meanOver(pixels: Uint8ClampedArray, x0: number, x1: number): LinearRgb {
  const sum: [number, number, number] = [0, 0, 0];
  let count = 0;
  for (let y = SIDE_PX * 0.25; y < SIDE_PX * 0.75; y++) {
    for (let x = x0; x < x1; x++) {
      const at = (y * SIDE_PX + x) * 4;
      const hex = `#${[0, 1, 2].map((k) => pixels[at + k].toString(16).padStart(2, '0')).join('')}`;
      linearFromHex(hex).forEach((light, k) => {
        sum[k] += light;
      });
      count++;
    }
  }
  return [sum[0] / count, sum[1] / count, sum[2] / count];
}

/** Lightness along the turns, 16 places from left to right. */
function alongTurns(pixels: Uint8ClampedArray): number[] {
  return Array.from({ length: 16 }, (_, k) => lightness(meanOver(pixels, k * 4, k * 4 + 4)));
}

describe('a yarn wound on a card, drawn for the shelf', () => {
  it('matte yarn in overcast light has its cone colour in the middle', async () => {
    const { light } = LIGHTS.overcast;
    const mean = meanOver(await drawn(cardOf('cotton-16-2'), light), 26, 38);
    // The card lies level and the room is brightest a little above.
    const level = skyOnCard([0, 0, 1]) / skyOnCard(light.towards);
    const expected: LinearRgb = [KELP[0] * level, KELP[1] * level, KELP[2] * level];
    // What the real-time picture is held to against the reference.
    expect(colourDifference(mean, expected)).toBeLessThan(3);
  });

  it('lustre shows: filament of the same colour flashes along the curve, matte cotton does not', async () => {
    const { light } = LIGHTS.window;
    const matte = alongTurns(await drawn(cardOf('cotton-16-2'), light));
    const bright = alongTurns(await drawn(cardOf('rayon-filament-300'), light));
    const range = (values: number[]) => Math.max(...values) - Math.min(...values);
    expect(range(bright)).toBeGreaterThan(range(matte) + 10);
    // The flash stands where the card leans to the window at the left, not at the edge.
    const at = bright.indexOf(Math.max(...bright));
    expect(at).toBeLessThan(8);
    expect(at).toBeGreaterThan(0);
  });

  it('is drawn all the same where the context is lost half way and comes back', async () => {
    const cloth = cardOf('cotton-16-2');
    const { light } = LIGHTS.window;
    const whole = await drawn(cloth, light);
    const lose = opened.renderer.getContext().getExtension('WEBGL_lose_context')!;
    let lost = false;
    const again = await drawn(cloth, light, (slices) => {
      if (slices === 2) {
        lose.loseContext();
        lost = true;
      }
      if (slices === 8) lose.restoreContext();
    });
    expect(lost).toBe(true);
    const [a, b] = [whole, again].map((pixels) => meanOver(pixels, 0, SIDE_PX));
    expect(colourDifference(a, b)).toBeLessThan(0.5);
  });
});
