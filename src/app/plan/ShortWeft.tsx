import { endsReached, shortWeftProblem } from '#document/commands/edgeOfPass.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { metresLeft } from '#engine/yarn/leftYarn.ts';

interface ShortWeftProps {
  readonly sample: Sample;
  readonly yarn: string;
  readonly tailMm: number;
  onReach(ends: number): void;
  onJoin(): void;
  onNarrow(): void;
}

/** What can be done with a weft of which less is left than the web is wide. */
export function ShortWeft({ sample, yarn, tailMm, onReach, onJoin, onNarrow }: ShortWeftProps) {
  const short = shortWeftProblem(sample, [yarn]);
  const left = metresLeft(sample.yarns[yarn]);
  if (!short || !left) return null;
  const count = endsReached(sample, 1000 * left.value, tailMm);
  return (
    <div>
      <p className="trouble">{`It ${short.what}.`}</p>
      <div className="laying-buttons">
        <button type="button" onClick={() => onReach(count)}>{`Over ${count} ends`}</button>
        <button type="button" onClick={onJoin}>
          Join lengths
        </button>
        <button type="button" onClick={onNarrow}>
          Weave narrower
        </button>
      </div>
    </div>
  );
}
