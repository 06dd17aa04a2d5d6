import type { YarnHair } from './hair.ts';
import { meshBarMm } from './mesh.ts';
import type { YarnRecord } from './yarnRecord.ts';

/** Threads of a strip's own cloth where nothing else is known: every 0.4 mm, 0.2 mm thick (from memory of sheeting). */
const USUAL_SPACING_MM = 0.4;
/** A thread's width over their spacing in sheeting (from memory). */
const WIDTH_OVER_SPACING = 0.5;
const WIDEST_MM = 0.3;
/** Lengths that cut edges fray to before weaving is over, mm (from memory). */
const USUAL_LENGTH_MM = [1, 4] as const;
/** Of the threads that end at the edge, those that have come loose of it (estimate). */
const LOOSE = 0.6;

/** Threads that stand off a strip's two cut edges. */
export function edgeHair(record: YarnRecord): YarnHair | undefined {
  if (record.shape !== 'strip') return undefined;
  const spacing = record.mesh?.pitchMm ?? record.make?.alongMm ?? USUAL_SPACING_MM;
  const [shortest, longest] = record.hairLengthMm ?? USUAL_LENGTH_MM;
  const mean = shortest + 0.3 * (longest - shortest);
  return {
    form: 'edge',
    // Of both edges.
    perMm: (2 * LOOSE) / spacing,
    meanLengthMm: mean,
    longestMm: longest,
    evenness: 0,
    diameterMm: record.mesh ? meshBarMm(record) : Math.min(WIDEST_MM, WIDTH_OVER_SPACING * spacing),
    taper: 0.4,
    leanMeanRad: 0.5,
    heightMm: longest,
    coreShare: 1,
    pressed: false,
    provenance: {
      perMm: 'from the spacing of the strip’s own threads, six tenths of them loose (estimate)',
      meanLengthMm: record.hairLengthMm ? 'within hairLengthMm (estimate)' : 'from memory',
      diameterMm: record.mesh
        ? 'the strip’s own threads, from its mass'
        : 'half their spacing, at most 0.3 mm (from memory)',
      leanMeanRad: 'estimate',
    },
  };
}
