import * as v from 'valibot';
import { checkLoom } from '#document/check/checkSample.ts';
import { type LoomCard, loomSchema } from '#document/schema/loomSchema.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';

/**
 * What was found out about a loom in this browser, kept beside the samples: its faults and the beat on it belong to the
 * loom, so the next sample there has them too.
 */
const keyOf = (loomId: string) => `forecloth.loom.${loomId}`;

const remembered = v.object({
  knownFaults: loomSchema.entries.knownFaults,
  calibration: loomSchema.entries.calibration,
});

export function rememberLoom({ id, knownFaults, calibration }: LoomCard): void {
  try {
    localStorage.setItem(keyOf(id), JSON.stringify({ knownFaults, calibration }));
  } catch {
    // Storage may be shut or full; the sample itself still holds its loom.
  }
}

/** The loom as it was left, faults and beat; as its card has it where nothing was noted or what is stored cannot be it. */
export function recalledLoom(loom: LoomCard): LoomCard {
  try {
    const stored = localStorage.getItem(keyOf(loom.id));
    if (stored === null) return loom;
    const { knownFaults: _faults, calibration: _calibration, ...bare } = loom;
    const kept = { ...bare, ...v.parse(remembered, JSON.parse(stored)) };
    return checkLoom(kept).length === 0 ? kept : loom;
  } catch {
    return loom;
  }
}

/** The sample and its kept versions on their looms as they were left. */
export function onLoomAsLeft(sample: Sample): Sample {
  const of = <Body extends SampleBody>(body: Body): Body => {
    const loom = recalledLoom(body.loom);
    return loom === body.loom ? body : { ...body, loom };
  };
  return { ...of(sample), versions: sample.versions.map((version) => ({ ...version, body: of(version.body) })) };
}
