import { useState } from 'react';
import { createRoot, type Root } from 'react-dom/client';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { NumberField } from '#app/after/NumberField.tsx';
import '#app/styles/all.css';

let root: Root;
let place: HTMLElement;
let taken: (number | undefined)[];

function Fields() {
  const [hem, setHem] = useState<number | undefined>(4);
  return (
    <>
      <NumberField
        name="Hem"
        value={hem}
        least={0.5}
        most={1000}
        empty="0"
        onChange={(value) => {
          taken.push(value);
          setHem(value);
        }}
      />
      <button type="button" onClick={() => setHem(9)}>
        Nine
      </button>
    </>
  );
}

beforeEach(() => {
  document.documentElement.lang = 'en-GB';
  taken = [];
  place = document.createElement('div');
  document.body.append(place);
  root = createRoot(place);
  root.render(<Fields />);
});

afterEach(() => {
  root.unmount();
  place.remove();
});

const field = () => page.getByRole('spinbutton');
const alerted = () => place.querySelector('[role="alert"]')?.textContent ?? '';

it('keeps a number that cannot be taken, and says which can be; nothing changes', async () => {
  await userEvent.fill(field(), '-3');
  expect(alerted()).toBe('');
  await userEvent.tab();
  expect(alerted()).toContain('from 0.5 to 1,000');
  await expect.element(field()).toHaveValue(-3);
  await expect.element(field()).toHaveAttribute('aria-invalid', 'true');
  expect(taken).toEqual([]);
  await userEvent.fill(field(), '2.5');
  expect(alerted()).toBe('');
  await expect.element(field()).not.toHaveAttribute('aria-invalid');
  expect(taken).toEqual([2.5]);
});

it('does not take letters for an emptied field; Escape brings back what is in force', async () => {
  await userEvent.click(field());
  await userEvent.keyboard('e');
  await userEvent.tab();
  expect(taken).toEqual([]);
  expect(alerted()).toContain('Leave it empty, or write a number');
  await userEvent.click(field());
  await userEvent.keyboard('{Escape}');
  await expect.element(field()).toHaveValue(4);
  expect(alerted()).toBe('');
});

it('gives way to a value that comes from elsewhere', async () => {
  await userEvent.fill(field(), '5000');
  await userEvent.click(page.getByRole('button', { name: 'Nine' }));
  await expect.element(field()).toHaveValue(9);
  expect(alerted()).toBe('');
});
