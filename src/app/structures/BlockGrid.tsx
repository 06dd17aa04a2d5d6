import type { KeyboardEvent } from 'react';
import { NumberField } from '#app/after/NumberField.tsx';

/** How squares of each state look, in words; so many states a plan may have. */
export const STATE_LOOKS = ['empty', 'filled', 'striped', 'dotted', 'barred', 'crossed'] as const;

export interface BlockGridProps {
  /** Rows of states from 0, the first woven first. */
  readonly plan: readonly (readonly number[])[];
  readonly states: number;
  readonly most: number;
  onChange(plan: number[][]): void;
}

/** The plan, a square a block, the first row lowest. A click takes a square to its next state, a digit to that one. */
export function BlockGrid({ plan, states, most, onChange }: BlockGridProps) {
  const [rows, columns] = [plan.length, plan[0].length];

  function resize(toRows: number, toColumns: number) {
    onChange(
      Array.from({ length: toRows }, (_, row) =>
        Array.from({ length: toColumns }, (__, column) => plan[row % rows][column % columns]),
      ),
    );
  }

  function put(row: number, column: number, state: number) {
    onChange(plan.map((cells, r) => cells.map((cell, c) => (r === row && c === column ? state : cell))));
  }

  function onKeyDown(event: KeyboardEvent<HTMLElement>) {
    const squares = [...event.currentTarget.querySelectorAll('button')];
    const at = squares.indexOf(document.activeElement as HTMLButtonElement);
    const digit = Number(event.key) - 1;
    if (event.key !== ' ' && digit >= 0 && digit < states) {
      put(rows - 1 - Math.floor(at / columns), at % columns, digit);
      event.stopPropagation();
      event.preventDefault();
      return;
    }
    const steps: Record<string, number> = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -columns, ArrowDown: columns };
    const step = steps[event.key];
    if (step === undefined) return;
    squares[at + step]?.focus();
    event.preventDefault();
  }

  return (
    <>
      <NumberField
        name="Blocks across"
        value={columns}
        least={1}
        most={most}
        onChange={(value) => value && resize(rows, Math.round(value))}
      />
      <NumberField
        name="Rows along"
        value={rows}
        least={1}
        most={most}
        onChange={(value) => value && resize(Math.round(value), columns)}
      />
      {/* biome-ignore lint/a11y/useSemanticElements: a grid of squares has no element of its own */}
      <div
        className="block-grid"
        role="group"
        aria-label="Blocks"
        style={{ gridTemplateColumns: `repeat(${columns}, minmax(0, 36px))` }}
        onKeyDown={onKeyDown}
      >
        {plan
          .map((cells, row) => ({ cells, row }))
          .toReversed()
          .map(({ cells, row }) =>
            cells.map((cell, column) => (
              <button
                key={`${row} ${column}`}
                type="button"
                className={`block-${STATE_LOOKS[cell]}`}
                aria-label={`Row ${row + 1}, block ${column + 1}: ${STATE_LOOKS[cell]}`}
                onClick={() => put(row, column, (cell + 1) % states)}
              />
            )),
          )}
      </div>
    </>
  );
}
