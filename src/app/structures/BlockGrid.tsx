import type { KeyboardEvent } from 'react';
import { NumberField } from '#app/after/NumberField.tsx';

export interface BlockGridProps {
  /** Rows of 0 and 1, the first woven first. */
  readonly plan: readonly (readonly number[])[];
  readonly most: number;
  onChange(plan: number[][]): void;
}

/** The plan, a square a block, the first row lowest; arrow keys go from square to square. */
export function BlockGrid({ plan, most, onChange }: BlockGridProps) {
  const [rows, columns] = [plan.length, plan[0].length];

  function resize(toRows: number, toColumns: number) {
    onChange(
      Array.from({ length: toRows }, (_, row) =>
        Array.from({ length: toColumns }, (__, column) => plan[row % rows][column % columns]),
      ),
    );
  }

  function toggle(row: number, column: number) {
    onChange(plan.map((cells, r) => cells.map((cell, c) => (r === row && c === column ? 1 - cell : cell))));
  }

  function onKeyDown(event: KeyboardEvent<HTMLElement>) {
    const steps: Record<string, number> = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -columns, ArrowDown: columns };
    const step = steps[event.key];
    if (step === undefined) return;
    const squares = [...event.currentTarget.querySelectorAll('button')];
    squares[squares.indexOf(document.activeElement as HTMLButtonElement) + step]?.focus();
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
      {/* biome-ignore lint/a11y/useSemanticElements: a grid of toggles has no element of its own */}
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
                aria-pressed={cell === 1}
                aria-label={`Row ${row + 1}, block ${column + 1}`}
                onClick={() => toggle(row, column)}
              />
            )),
          )}
      </div>
    </>
  );
}
