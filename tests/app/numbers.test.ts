import { describe, expect, test } from 'vitest';
import { formatNumber, quantity, quantityRange, spanText } from '#app/words/numbers.ts';

describe('numbers as they are read', () => {
  test('what rounds to nothing has no sign, what does not keeps it', () => {
    expect(formatNumber(-0.04, 1)).toBe('0');
    expect(formatNumber(-0.06, 1)).toBe('-0.1');
    expect(formatNumber(-3)).toBe('-3');
  });

  test('stiffness has no more than three places that mean anything, from voile to card', () => {
    // N·mm as the engine has it.
    expect(quantity(0.01324, 'stiffness', 'cm').text).toBe('13.2');
    expect(quantity(7.8882, 'stiffness', 'cm').text).toBe(formatNumber(7890));
    expect(quantityRange(3.7417, 17.234, 'stiffness', 'inch').text).toBe(
      `${formatNumber(3740)}–${formatNumber(17_200)}`,
    );
  });

  test('a range of which both ends read alike is one figure', () => {
    expect(spanText('1.1 m', '1.1 m')).toBe('1.1 m');
    expect(spanText('5 min', '7 min')).toBe('5 min to 7 min');
  });
});
