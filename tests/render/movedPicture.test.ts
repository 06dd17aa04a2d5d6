import { expect, test } from 'vitest';
import { FACE_POSE } from '#render/eye.ts';
import { movedPicture } from '#render/movedPicture.ts';

const pose = { ...FACE_POSE, centreMm: [10, 20] as const, pixelsPerMm: 4 };
const closely = (rect: object) =>
  Object.fromEntries(Object.entries(rect).map(([side, px]) => [side, expect.closeTo(px, 9)]));

test('a picture goes with the cloth: along it, the other way seen from behind, shorter where it leans', () => {
  const before = { ...pose, centreMm: [12, 21] as const };
  const whole = { width: 300, height: 200 };
  expect(movedPicture(before, pose, 300, 200)).toEqual(closely({ x: 8, y: 4, ...whole }));
  const over = { turnedOver: true };
  expect(movedPicture({ ...before, ...over }, { ...pose, ...over }, 300, 200)).toEqual(
    closely({ x: -8, y: 4, ...whole }),
  );
  // cos 60° of it, by the cosine alone.
  const leaning = { yawRad: Math.PI / 3 };
  expect(movedPicture({ ...before, ...leaning }, { ...pose, ...leaning }, 300, 200)).toEqual(
    closely({ x: 4, y: 4, ...whole }),
  );
});

test('comes nearer about the middle, and stays where it is when the cloth was turned', () => {
  expect(movedPicture({ ...pose, pixelsPerMm: 2 }, pose, 300, 200)).toEqual(
    closely({ x: -150, y: -100, width: 600, height: 400 }),
  );
  expect(movedPicture({ ...pose, pixelsPerMm: 2, rollRad: 0.1 }, pose, 300, 200)).toEqual({
    x: 0,
    y: 0,
    width: 300,
    height: 200,
  });
});

test('of a smaller canvas lies in the middle of a larger one at its own scale', () => {
  const small = { width: 300, height: 120 };
  expect(movedPicture(pose, pose, 300, 200, small)).toEqual(closely({ x: 0, y: 40, ...small }));
  expect(movedPicture(pose, { ...pose, pixelsPerMm: 8 }, 300, 200, small)).toEqual(
    closely({ x: -150, y: -20, width: 600, height: 240 }),
  );
  expect(movedPicture({ ...pose, rollRad: 0.1 }, pose, 300, 200, small)).toEqual(closely({ x: 0, y: 40, ...small }));
});
