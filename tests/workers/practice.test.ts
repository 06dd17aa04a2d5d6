import { expect, it } from 'vitest';
import { practise } from '#workers/practice.ts';

it('practice goes through checks of floats and sett, and finds both in its cloths', () => {
  const kinds = new Set(practise().map(({ kind }) => kind));
  expect([...kinds]).toEqual(expect.arrayContaining(['longFloat', 'sett']));
});
