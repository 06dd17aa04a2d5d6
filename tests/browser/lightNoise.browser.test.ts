import { afterAll, expect, test } from 'vitest';
import { LinearProbe } from '#tests/helpers/farScenes.ts';
import { LEVEL, packAs, woundCard } from '#tests/helpers/traceScenes.ts';

const SIZE = 64;
/** Each light is asked after once in so many samples (shaders/cloth/light.glsl). */
const ROUND = 4;
/**
 * A surface that nothing hides gets from any direction the room's mean radiance, 0.65, give or take 0.35 at most: so much, of
 * what it returns, one ray may be off. How its fibres favour that direction makes no difference to an even light.
 */
const MOST_OFF = 0.35 / 0.65;
const ROOM_ALONE = { towards: [0, 0.6, 0.8] as const, halfAngleRad: 0.2, skyShare: 1 };

const probe = new LinearProbe();
afterAll(() => probe.close());

test.each(['mohair-brushed', 'viscose-10-2'])(
  'a ray to the room is no further off than the room is uneven: %s',
  async (id) => {
    probe.setCloth(await packAs(woundCard([0.6, 0.6, 0.6]), id));
    // On the crown of one turn, whose neighbours stand no higher.
    const pose = { ...LEVEL, centreMm: [7.5, 7] as const, pixelsPerMm: 2 * SIZE };
    const [mean, round] = [32 * ROUND, ROUND].map((samples) =>
      probe.picture(pose, ROOM_ALONE, SIZE, samples, { fine: true }),
    );
    expect(probe.errors).toEqual([]);
    let squares = 0;
    for (let at = 1; at < round.length; at += 4) squares += (round[at] / mean[at] - 1) ** 2;
    expect(Math.sqrt(squares / SIZE ** 2)).toBeLessThan(MOST_OFF);
  },
);
