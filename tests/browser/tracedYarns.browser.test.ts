import { afterAll, describe, expect, test } from 'vitest';
import { FACE_POSE } from '#render/eye.ts';
import { LIGHTS, type LightName } from '#render/lights.ts';
import { PathTracer } from '#render/pathTracer.ts';
import { LinearProbe, meanOf } from '#tests/helpers/farScenes.ts';
import { shelfCloth } from '#tests/helpers/yarnScenes.ts';

/** Two threads each way of plain weave. */
const SIZE = 48;
const PIXELS_A_PITCH = SIZE / 2;
const SAMPLES = 32;
const PATHS = 32;
/** What light does from hair to hair is estimated in the picture: measured 0.90 to 1.07, with what so few paths add. */
const AS_TRACED = 0.12;

describe('hairy yarns of the shelf, over a warp of another colour', () => {
  const probe = new LinearProbe();
  afterAll(() => probe.close());

  test.each<readonly [id: string, degrees: number, light: LightName]>([
    ['cotton-8-2', 0, 'window'],
    ['mohair-brushed', 0, 'window'],
    ['mohair-brushed', 50, 'window'],
    ['cotton-chenille-1.7', 0, 'window'],
    ['cotton-chenille-1.7', 50, 'window'],
    ['cotton-chenille-1.7', 0, 'spot'],
    ['cotton-chenille-1.7', 0, 'overcast'],
    ['cotton-chenille-1.7', 0, 'raking'],
    ['viscose-chenille-1450', 0, 'window'],
    ['viscose-chenille-1450', 50, 'window'],
  ])('%s at %i degrees, %s: as light and of the same colour as traced path by path', async (id, degrees, light) => {
    const { cloth, pitchMm, middleMm } = await shelfCloth(id);
    probe.setCloth(cloth);
    const pose = {
      ...FACE_POSE,
      fieldOfViewRad: 0,
      centreMm: middleMm,
      pixelsPerMm: PIXELS_A_PITCH / pitchMm,
      pitchRad: (degrees * Math.PI) / 180,
    };
    const drawn = meanOf(probe.picture(pose, LIGHTS[light].light, SIZE, SAMPLES, { fine: true }));
    const scene = { pose, light: LIGHTS[light].light, background: [0, 0, 0] as const, backLit: false, fine: true };
    const frame = { pictureWidth: SIZE, pictureHeight: SIZE, x: 0, y: 0, width: SIZE, height: SIZE };
    const tracer = new PathTracer(probe.drawer, scene, frame);
    await tracer.run(PATHS);
    const traced = meanOf(await tracer.readLinear());
    tracer.dispose();
    expect(probe.errors).toEqual([]);
    const ratios = drawn.map((value, k) => value / traced[k]);
    if (import.meta.env.VITE_ALL_REFERENCES) console.log(id, degrees, light, ratios);
    for (const ratio of ratios) expect(Math.abs(ratio - 1)).toBeLessThan(AS_TRACED);
  });
});
