import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import { cutOfKind } from './cutOfKind.ts';
import { NumberField } from './NumberField.tsx';

type Cut = TreatmentOf<'cut'>;

interface CutPlacesProps {
  readonly treatment: Cut;
  onChange(treatment: Cut): void;
}

const rounded = (value: number) => Math.round(value * 10) / 10;

/** The line by numbers: each place by end and pick, moved, put in and taken out without a pointer. */
export function CutPlaces({ treatment, onChange }: CutPlacesProps) {
  const { line } = treatment;
  const put = (next: Cut['line']) => {
    const { closed, ...open } = treatment;
    // Two places make no outline.
    const shape = closed && next.length > 2 ? { ...open, closed, line: next } : { ...open, line: next };
    onChange(cutOfKind(shape, treatment.what));
  };

  /** Half way to the next place, or as far again beyond the last. */
  function addAfter(k: number) {
    const from = line[k];
    const to = line[k + 1];
    const before = line[k - 1] ?? from;
    const place = to
      ? { end: rounded((from.end + to.end) / 2), pick: rounded((from.pick + to.pick) / 2) }
      : { end: rounded(2 * from.end - before.end), pick: rounded(2 * from.pick - before.pick) };
    put(line.toSpliced(k + 1, 0, place));
  }

  return (
    <details className="cut-places">
      <summary>{`The line by numbers: ${line.length} places`}</summary>
      <ol>
        {line.map((place, k) => (
          <li key={k}>
            <NumberField
              name="End"
              value={place.end}
              least={-10_000}
              most={20_000}
              step={1}
              onChange={(end) => end !== undefined && put(line.with(k, { ...place, end }))}
            />
            <NumberField
              name="pick"
              value={place.pick}
              least={-20_000}
              most={40_000}
              step={1}
              onChange={(pick) => pick !== undefined && put(line.with(k, { ...place, pick }))}
            />
            <button type="button" aria-label={`Put one in after place ${k + 1}`} onClick={() => addAfter(k)}>
              Put one in after
            </button>
            <button
              type="button"
              aria-label={`Take out place ${k + 1}`}
              disabled={line.length <= 2}
              onClick={() => put(line.toSpliced(k, 1))}
            >
              Take out
            </button>
          </li>
        ))}
      </ol>
    </details>
  );
}
