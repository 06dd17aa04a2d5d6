import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { MOST_TREATMENTS, type Treatment, type TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import type { Sample, SampleFault } from '#document/schema/sampleSchema.ts';
import { plain } from './command.ts';

/** Which pick, from 0, a pick was before: itself, or one that it is woven like once more. Null: it is new. */
export type PickOrigin = { readonly old: number; readonly again: boolean } | null;

/** Picks from .. to − 1, from 0, as they were. */
export function keptPicks(from: number, to: number): PickOrigin[] {
  return Array.from({ length: Math.max(0, to - from) }, (_, k) => ({ old: from + k, again: false }));
}

/** The same picks woven once more. */
export function wovenAgain(from: number, to: number): PickOrigin[] {
  return Array.from({ length: Math.max(0, to - from) }, (_, k) => ({ old: from + k, again: true }));
}

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Where picks from .. to, both included and from 1, now lie in a row; new picks between them count with them. */
function stretchesOf(origins: readonly PickOrigin[], from: number, to: number, again: boolean): Stretch[] {
  const stretches: Stretch[] = [];
  let first = 0;
  let last = 0;
  const end = () => {
    if (first > 0) stretches.push({ from: first, to: last });
    first = 0;
  };
  origins.forEach((origin, k) => {
    if (origin === null) return;
    if (origin.old + 1 < from || origin.old + 1 > to || (origin.again && !again)) {
      end();
      return;
    }
    if (first === 0) first = k + 1;
    last = k + 1;
  });
  end();
  return stretches;
}

/** Where a place along the warp now is (or across it, of ends): threads from 1, between them in decimals, with the nearest. */
function placeNow(origins: readonly PickOrigin[], oldCount: number, place: number): number {
  if (place < 0.5) return place;
  if (place >= oldCount + 0.5) return place + origins.length - oldCount;
  const pick = Math.floor(place + 0.5);
  const at = origins.findIndex((origin) => origin !== null && !origin.again && origin.old === pick - 1);
  if (at >= 0) return at + 1 + (place - pick);
  // Its pick is gone: to the seam that it left.
  const next = origins.findIndex((origin) => origin !== null && !origin.again && origin.old >= pick);
  return next < 0 ? origins.length + 0.5 : next + 0.5;
}

function bendsNow(bend: TreatmentOf<'bend'>, origins: readonly PickOrigin[]): Treatment[] {
  const { pick, toPick = pick } = bend;
  return stretchesOf(origins, pick, toPick, true).map(({ from, to }) => {
    const { toPick: _, ...rest } = bend;
    return { ...rest, pick: from, ...(bend.toPick === undefined && from === to ? {} : { toPick: to }) };
  });
}

function treatmentNow(treatment: Treatment, origins: readonly PickOrigin[], oldCount: number): Treatment[] {
  if (treatment.kind === 'bend') return bendsNow(treatment, origins);
  if (treatment.kind === 'cut') {
    const gone = treatment.line.every(
      ({ pick }) =>
        pick >= 0.5 &&
        pick < oldCount + 0.5 &&
        stretchesOf(origins, Math.floor(pick + 0.5), Math.floor(pick + 0.5), false).length === 0,
    );
    if (gone) return [];
    const line = treatment.line.map(({ end, pick }) => ({ end, pick: placeNow(origins, oldCount, pick) }));
    return [{ ...treatment, line }];
  }
  if (treatment.kind !== 'clip' || !treatment.part) return [treatment];
  const part = partNow(treatment.part, 'Pick', origins, oldCount);
  return part ? [{ ...treatment, part }] : [];
}

type Part = NonNullable<TreatmentOf<'clip'>['part']>;

/** A part of the cloth where its threads now lie; undefined where they are gone. */
function partNow(part: Part, of: 'Pick' | 'End', origins: readonly PickOrigin[], oldCount: number): Part | undefined {
  const [from, to] = [part[`from${of}`], part[`to${of}`]];
  if (from === undefined && to === undefined) return part;
  const all = stretchesOf(origins, from ?? 1, to ?? oldCount, false);
  if (all.length === 0) return undefined;
  return {
    ...part,
    ...(from === undefined ? {} : { [`from${of}`]: all[0].from }),
    ...(to === undefined ? {} : { [`to${of}`]: Math.max(...all.map((stretch) => stretch.to)) }),
  };
}

/**
 * What is done after the loom once ends have been taken out or laid in again: a bend stays on its weft, and where its end is gone, at
 * the seam.
 * @param kept of each new end, from 0, the old one that it is
 */
export function treatmentsOnEnds(
  treatments: readonly Treatment[],
  kept: readonly number[],
  oldEnds: number,
): Treatment[] {
  const origins = kept.map((old, end) => ({ old, again: end > 0 && kept.indexOf(old) < end }));
  const now = (end: number) => placeNow(origins, oldEnds, end);
  return treatments.flatMap((treatment): Treatment[] => {
    if (treatment.kind === 'bend')
      return [{ ...treatment, end: Math.min(kept.length, Math.max(1, now(treatment.end))) }];
    if (treatment.kind === 'cut')
      return [{ ...treatment, line: treatment.line.map(({ end, pick }) => ({ end: now(end), pick })) }];
    if (treatment.kind !== 'clip' || !treatment.part) return [treatment];
    const part = partNow(treatment.part, 'End', origins, oldEnds);
    return part ? [{ ...treatment, part }] : [];
  });
}

function faultNow(fault: SampleFault, origins: readonly PickOrigin[], oldCount: number): SampleFault[] {
  if (fault.kind === 'skippedEnd') {
    const [place] = stretchesOf(origins, fault.pick, fault.pick, false);
    return place ? [{ ...fault, pick: place.from }] : [];
  }
  const all = stretchesOf(origins, fault.fromPick, fault.toPick ?? oldCount, false);
  if (all.length === 0) return [];
  const { toPick: _, ...rest } = fault;
  const toPick = fault.toPick === undefined ? {} : { toPick: Math.max(...all.map(({ to }) => to)) };
  return [{ ...rest, fromPick: all[0].from, ...toPick }];
}

/** What is done after the loom, gone with its picks. */
function treatmentsNow({ afterLoom, picks }: Pick<Sample, 'afterLoom' | 'picks'>, origins: readonly PickOrigin[]) {
  return (afterLoom ?? []).flatMap((treatment) => treatmentNow(treatment, origins, picks.length));
}

/** Picks woven again take their bends along: there may be more of these than a sample holds. */
export function treatmentsProblem(sample: Sample, origins: readonly PickOrigin[]): DocumentProblem | null {
  const count = treatmentsNow(sample, origins).length;
  if (count <= Math.max(MOST_TREATMENTS, sample.afterLoom?.length ?? 0)) return null;
  return problemAt(
    ['afterLoom'],
    `would be ${count} treatments with the bends of the picks that come again`,
    `keep to ${MOST_TREATMENTS}: take some bends away first`,
  );
}

/**
 * Bends, cuts and clippings, and what went wrong in weaving, stay with the picks at which they are, whatever is woven before them; what was at picks that
 * are gone is gone. Picks woven again are bent again, but are cut and go wrong only once. To be called before the picks change.
 * @param origins of all picks as they will be
 */
export function goWithPicks(draft: Sample, origins: readonly PickOrigin[]): void {
  const sample = plain(draft);
  const oldCount = sample.picks.length;
  const put = <Key extends 'afterLoom' | 'faults'>(key: Key, now: NonNullable<Sample[Key]>) => {
    if (JSON.stringify(now) === JSON.stringify(sample[key])) return;
    if (now.length > 0) draft[key] = now;
    else delete draft[key];
  };
  if (sample.afterLoom) put('afterLoom', treatmentsNow(sample, origins));
  if (sample.faults)
    put(
      'faults',
      sample.faults.flatMap((fault) => faultNow(fault, origins, oldCount)),
    );
}
