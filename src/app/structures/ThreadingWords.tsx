import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { lackWords, type Needs } from './threadForIt.ts';

/** Why the warp is not threaded for it: it is on the loom, or the loom has too few shafts or treadles. */
export function ThreadingWords({
  sample,
  needs,
}: {
  readonly sample: Pick<SampleBody, 'loom' | 'warp'>;
  readonly needs: Needs;
}) {
  const lack = lackWords(sample, needs);
  if (lack) return <p className="soft">{lack}</p>;
  if (!sample.warp.fixed) return null;
  return (
    <p className="soft">
      The warp is on the loom. To thread or tie one for it, release it under Warp, or begin another.
    </p>
  );
}
