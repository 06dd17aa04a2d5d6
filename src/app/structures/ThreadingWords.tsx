import type { SampleBody } from '#document/schema/sampleSchema.ts';

/** Why the warp is not threaded for it: it is on the loom, or the loom has too few shafts. */
export function ThreadingWords({
  sample,
  shaftsNeeded,
}: {
  readonly sample: SampleBody;
  readonly shaftsNeeded: number;
}) {
  const { loom, warp } = sample;
  if (shaftsNeeded > loom.shafts) {
    return (
      <p className="soft">{`Threaded for it, it takes ${shaftsNeeded} shafts; ${loom.name} has ${loom.shafts}.`}</p>
    );
  }
  if (!warp.fixed) return null;
  return (
    <p className="soft">The warp is on the loom. To thread one for it, release it under Warp, or begin another.</p>
  );
}
