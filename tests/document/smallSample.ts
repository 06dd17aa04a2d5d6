import { sampleFromFile } from '#document/sampleFromFile.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';

/** A yarn card as a file holds it: cotton 8/2, figures as in the cotton card of `presets/yarns`. */
export function cottonCard(id: string, coneColour: string, tex = 147.6) {
  return {
    format: 'forecloth-yarn',
    version: 3,
    id,
    name: id,
    fibre: 'cotton',
    count: 'Ne 8/2',
    tex,
    plies: 2,
    shape: 'round',
    packingFraction: 0.58,
    fibreDensityGPerCm3: 1.52,
    bendingNmm2: [0.0066, 0.039],
    twistTurnsPerM: [220, 300],
    twistDirection: 'S',
    compressibility: 'medium',
    coneColour,
  };
}

/** 24 ends on a direct-lift loom of 8 shafts, 12 picks: plain, one partial pass, one pick of two strands. */
export function smallSampleFile() {
  const picks: unknown[] = Array.from({ length: 12 }, (_, i) => ({
    lift: i % 2 === 0 ? [1, 3, 5, 7] : [2, 4, 6, 8],
    passes: [{ strands: [i < 6 ? 'kelp' : 'gull'], enters: i % 2 === 0 ? 'left' : 'right', ends: 'selvedge' }],
  }));
  picks[4] = {
    lift: [1, 3, 5, 7],
    passes: [
      { strands: ['kelp'], enters: 'left', ends: 'selvedge' },
      { strands: ['rope'], fromEnd: 5, toEnd: 12, enters: 'left', ends: 'cut', tailMm: 6 },
    ],
  };
  picks[7] = {
    lift: [2, 4, 6, 8],
    beat: 0.4,
    passes: [{ strands: ['gull', 'rope'], enters: 'right', ends: 'selvedge' }],
  };
  return {
    format: 'forecloth-sample',
    version: 8,
    name: 'quay edge',
    hungThisWayUp: 'firstPickBelow',
    loom: {
      format: 'forecloth-loom',
      version: 3,
      id: 'jetty',
      name: 'jetty',
      shafts: 8,
      control: { kind: 'directLift' },
      weavingWidthMm: 600,
      reedsDentsPerCm: [4, 5],
      tensionCNPerEnd: [40, 150],
    },
    warp: {
      format: 'forecloth-warp',
      version: 2,
      id: 'jetty-stripe',
      name: 'jetty stripe',
      ends: 24,
      order: '2 tar 1 gull x8',
      reed: { dentsPerCm: 4, endsPerDent: 2 },
      threading: '1-8 x3',
      tensionCNPerEnd: 80,
    },
    yarns: {
      kelp: cottonCard('kelp', '#4d5b31'),
      gull: cottonCard('gull', '#e6e4dd'),
      tar: cottonCard('tar', '#22201f'),
      rope: cottonCard('rope', '#b08d57', 295.3),
    } as Record<string, ReturnType<typeof cottonCard>>,
    beat: { firmness: 0.7, scatterPercent: 4, seed: 7 },
    picks,
    versions: [
      { name: 'looser', note: 'for the window', differences: [{ change: 'set', at: ['beat', 'firmness'], to: 0.3 }] },
    ] as unknown[],
  };
}

export function smallSample(): Sample {
  const outcome = sampleFromFile(smallSampleFile());
  if (!outcome.ok) throw new Error(outcome.problems.map((problem) => problem.message).join('\n'));
  return outcome.value;
}
