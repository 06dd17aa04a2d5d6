import { expect, it } from 'vitest';
import { createTableStore } from '#app/model/tableState.ts';

it.each(['lost', 'impossible'] as const)('a picture that is %s shows no cloth before, and promises none', (gone) => {
  const ui = createTableStore();
  ui.getState().setPicture('drawing');
  ui.getState().setEarlier(true);
  ui.getState().setPicture(gone, 'the driver said so');
  expect(ui.getState().pictureEarlier).toBe(false);
  // As the frame under way ends that found it gone.
  ui.getState().setEarlier(true);
  expect(ui.getState().pictureEarlier).toBe(false);
  ui.getState().setPicture('drawing');
  ui.getState().setEarlier(true);
  expect(ui.getState().pictureEarlier).toBe(true);
});
