import * as v from 'valibot';
import { TREATMENTS } from '#engine/cloth/states/treatments.ts';
import { USES } from '#engine/weave/checks/uses.ts';
import { afterLoomSchema } from './afterLoomSchema.ts';
import { differenceSchema } from './differenceSchema.ts';
import { idField, MOST_ENDS, MOST_PICKS, nameField, numberBetween, textUpTo, wholeBetween } from './fields.ts';
import { loomSchema } from './loomSchema.ts';
import { pickSchema } from './pickSchema.ts';
import { warpSchema } from './warpSchema.ts';
import { yarnSchema } from './yarnSchema.ts';

export const SAMPLE_FORMAT = 'forecloth-sample';
/**
 * The newest file version that this program reads and the one it writes; 2 keeps what is done after the loom, 3 keeps
 * pauses, what becomes of tails, the plan of the whole piece and over what length picks were counted, 4 keeps parts of
 * draft files that mean nothing here, 5 keeps what the cloth is for and what went wrong in weaving it, 6 bends by hand,
 * 7 wefts that go on behind the cloth, 8 the weft's arc.
 */
export const SAMPLE_VERSION = 8;

export const beatSchema = v.strictObject({
  /** 0 as loose as still holds .. 1 as hard as the loom allows; 0.7 is 'fairly firm'. */
  firmness: numberBetween(0, 1),
  /** How unevenly the beat falls from pick to pick: standard deviation, per cent of its resistance. */
  scatterPercent: numberBetween(0, 100, '%'),
  seed: wholeBetween(0, 0xffff_ffff),
  /** Height of the arc in which the weft is laid before the beat, at its highest; absent = it lies straight across. */
  weftArcMm: v.optional(numberBetween(0, 1000, 'mm')),
  /** Designer's own picks per cm, where she fixes it; absent = what the beat gives. */
  fixedPicksPerCm: v.optional(numberBetween(0.2, 400, 'picks per cm')),
});

export const finishSchema = v.strictObject({
  treatment: v.picklist(TREATMENTS),
  temperatureC: v.optional(numberBetween(0, 100, '°C')),
  notes: v.optional(textUpTo(2000)),
});

/** What was measured on the real swatch, at one stage. */
export const measurementSchema = v.strictObject({
  stage: v.picklist(['onLoom', 'offLoom', 'finished']),
  widthMm: v.optional(numberBetween(0.1, 20_000, 'mm')),
  lengthMm: v.optional(numberBetween(0.1, 100_000, 'mm')),
  picksPerCm: v.optional(numberBetween(0.1, 400, 'picks per cm')),
  /** Length over which those picks were counted. */
  picksOverMm: v.optional(numberBetween(1, 100_000, 'mm')),
  endsPerCm: v.optional(numberBetween(0.1, 400, 'ends per cm')),
  thicknessMm: v.optional(numberBetween(0.005, 200, 'mm')),
  gramsPerM2: v.optional(numberBetween(1, 20_000, 'g/m²')),
  notes: v.optional(textUpTo(2000)),
});

/** What is to be woven beside the picks of one piece, for what it takes of warp, weft and time. */
export const planSchema = v.strictObject({
  pieces: v.optional(wholeBetween(1, 1000)),
  /** At each end of a piece, woven as the piece is. */
  hemMm: v.optional(numberBetween(0, 5000, 'mm')),
  /** At each end of a piece, warp left unwoven. */
  fringeMm: v.optional(numberBetween(0, 5000, 'mm')),
  /** Woven first and cut away: the spread of the ends, and trials. */
  headingMm: v.optional(numberBetween(0, 20_000, 'mm')),
  /** Of the woven length and width: lost off the loom, and in finishing what came off it. */
  lossOffLoomPercent: v.optional(numberBetween(0, 80, '%')),
  lossFinishedPercent: v.optional(numberBetween(0, 80, '%')),
  /** The weaver's own pace, one shuttle, plain weave. */
  picksPerMinute: v.optional(numberBetween(0.1, 400, 'picks per minute')),
});

/** Sections of a draft file that other programs wrote for themselves: kept as they stood, and written out again. */
const foreignSectionsSchema = v.pipe(
  v.array(
    v.strictObject({
      title: textUpTo(200),
      lines: v.pipe(
        v.array(textUpTo(20_000)),
        v.maxLength(100_000, 'has more than 100000 lines | leave the section out'),
      ),
    }),
  ),
  v.maxLength(200, 'names more than 200 sections | leave some out'),
);

/** What the cloth is for, and the longest float that is let pass; absent = the use's own, null = any. */
const useSchema = v.strictObject({
  kind: v.picklist(USES),
  floatLimitMm: v.optional(v.nullable(numberBetween(0.5, 1000, 'mm'))),
});

/** What went wrong at single crossings, which no lift says. */
const faultsSchema = v.pipe(
  v.array(
    v.variant('kind', [
      /** One end lay on the other side of one pick. */
      v.strictObject({
        kind: v.literal('skippedEnd'),
        pick: wholeBetween(1, MOST_PICKS),
        end: wholeBetween(1, MOST_ENDS),
      }),
      /** One end broke: from this pick on, to another where it was mended, it hangs behind the cloth. */
      v.strictObject({
        kind: v.literal('brokenEnd'),
        end: wholeBetween(1, MOST_ENDS),
        fromPick: wholeBetween(1, MOST_PICKS),
        toPick: v.optional(wholeBetween(1, MOST_PICKS)),
      }),
    ]),
  ),
  v.maxLength(200, 'names more than 200 faults | leave some out'),
);

const bodyFields = {
  name: nameField,
  notes: v.optional(textUpTo(20_000)),
  /** Which way the finished piece hangs: where the pick woven first is. */
  hungThisWayUp: v.picklist(['firstPickBelow', 'firstPickAbove', 'firstPickLeft', 'firstPickRight']),
  loom: loomSchema,
  warp: warpSchema,
  yarns: v.record(idField, yarnSchema),
  beat: beatSchema,
  finish: v.optional(finishSchema),
  /** What is done to the cloth off the loom, in this order; absent = nothing. */
  afterLoom: v.optional(afterLoomSchema),
  plan: v.optional(planSchema),
  use: v.optional(useSchema),
  faults: v.optional(faultsSchema),
  measured: v.optional(v.array(measurementSchema)),
  /** What the draft file that this sample came from held beside the draft. */
  foreignSections: v.optional(foreignSectionsSchema),
  picks: v.pipe(
    v.array(pickSchema),
    v.minLength(1, 'is empty | give at least one pick'),
    v.maxLength(MOST_PICKS, `has more than ${MOST_PICKS} picks | split the sample`),
  ),
};

/** All that is woven and how: everything but the kept versions. */
export const sampleBodySchema = v.strictObject(bodyFields);

/** The file as written: kept versions are named sets of differences from the body. */
export const sampleFileSchema = v.strictObject({
  format: v.literal(SAMPLE_FORMAT),
  version: v.literal(SAMPLE_VERSION),
  ...bodyFields,
  versions: v.optional(
    v.array(
      v.strictObject({
        name: nameField,
        note: v.optional(textUpTo(2000)),
        differences: v.array(differenceSchema),
      }),
    ),
  ),
});

export type SampleBody = v.InferOutput<typeof sampleBodySchema>;
export type SampleFile = v.InferOutput<typeof sampleFileSchema>;
export type SampleFinish = NonNullable<SampleBody['finish']>;
export type SamplePlan = NonNullable<SampleBody['plan']>;
export type SampleUse = NonNullable<SampleBody['use']>;
export type SampleFault = NonNullable<SampleBody['faults']>[number];
export type ForeignSection = NonNullable<SampleBody['foreignSections']>[number];
export type Measurement = v.InferOutput<typeof measurementSchema>;

/** A kept version: the whole body as it was when kept. Unchanged parts are shared with the sample, not copied. */
export interface SampleVersion {
  readonly name: string;
  readonly note?: string;
  readonly body: SampleBody;
}

/** The sample in memory. Frozen: change it through the store's commands. */
export interface Sample extends SampleBody {
  versions: SampleVersion[];
}
