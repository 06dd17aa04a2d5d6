import { checkDraft, checkTreadling } from './checkDraft.ts';
import type { DraftPart } from './draftError.ts';
import type { Draft, TieUp, Treadling } from './draftTypes.ts';
import { hasMember, setCount } from './shaftSet.ts';

export type DraftRemarkCode =
  | 'no-end-lifted'
  | 'every-end-lifted'
  | 'empty-shaft-lifted'
  | 'end-on-no-shaft'
  | 'unused-shaft'
  | 'unmoved-shaft'
  | 'untied-treadle';

/** Something that can be woven but is seldom meant. */
export interface DraftRemark {
  readonly code: DraftRemarkCode;
  readonly part: DraftPart;
  /** All the places, ascending, counted from 1. */
  readonly at: readonly number[];
  readonly message: string;
}

export interface TreadledBy {
  readonly tieUp: TieUp;
  readonly treadling: Treadling;
}

/**
 * Names what is legal but odd. Shafts that carry no end are left out of "no end" and "every end", since lifting them
 * lifts nothing.
 * @throws DraftError where the draft cannot be at all.
 */
export function remarksOnDraft(draft: Draft, treadled?: TreadledBy): DraftRemark[] {
  checkDraft(draft);
  const picks = remarksOnPicks(draft);
  if (!treadled) return [...remarksOnEnds(draft), ...picks];
  // What a treadle raises besides is the tie-up's, which may be fixed.
  const asked = picks.filter(({ code }) => code !== 'empty-shaft-lifted');
  return [...remarksOnEnds(draft), ...asked, ...remarksOnTreadles(treadled)];
}

function remarksOnEnds({ shafts, threading, liftPlan }: Draft): DraftRemark[] {
  const loose: number[] = [];
  const carries = carried(threading);
  for (let end = 0; end < threading.length; end++) if (threading[end] === 0) loose.push(end + 1);

  let everLow = 0;
  let everHigh = 0;
  let alwaysLow = -1;
  let alwaysHigh = -1;
  for (let word = 0; word < liftPlan.length; word += 2) {
    everLow |= liftPlan[word];
    everHigh |= liftPlan[word + 1];
    alwaysLow &= liftPlan[word];
    alwaysHigh &= liftPlan[word + 1];
  }
  const unmoved = Uint32Array.of(~everLow | alwaysLow, ~everHigh | alwaysHigh);
  const empty: number[] = [];
  const still: number[] = [];
  // A loom has more shafts than most cloths need; one left out between those that are drawn is odd.
  const highest = threading.reduce((most, shaft) => Math.max(most, shaft), 0);
  for (let shaft = 1; shaft <= shafts; shaft++) {
    const carriesEnds = hasMember(carries, 0, shaft);
    if (!carriesEnds && shaft < highest) empty.push(shaft);
    if (carriesEnds && liftPlan.length > 0 && hasMember(unmoved, 0, shaft)) still.push(shaft);
  }
  return [
    ...remark('end-on-no-shaft', 'end', loose, 'is on no shaft: nothing lifts it, so it floats on the back'),
    ...remark('unused-shaft', 'shaft', empty, 'carries no end, between others that do'),
    ...remark('unmoved-shaft', 'shaft', still, 'never changes side, so its ends float the whole length'),
  ];
}

function remarksOnPicks({ threading, liftPlan }: Draft): DraftRemark[] {
  const carries = carried(threading);
  const everyThreaded = threading.length > 0 && !threading.includes(0);
  const none: number[] = [];
  const all: number[] = [];
  const vain: number[] = [];
  for (let pick = 0; pick < setCount(liftPlan); pick++) {
    const low = liftPlan[2 * pick];
    const high = liftPlan[2 * pick + 1];
    if (((low & carries[0]) | (high & carries[1])) === 0) none.push(pick + 1);
    else if (everyThreaded && ((carries[0] & ~low) | (carries[1] & ~high)) === 0) all.push(pick + 1);
    if (((low & ~carries[0]) | (high & ~carries[1])) !== 0) vain.push(pick + 1);
  }
  return [
    ...remark('no-end-lifted', 'pick', none, 'lifts no end: the weft lies on the face from edge to edge'),
    ...remark('every-end-lifted', 'pick', all, 'lifts every end: the weft lies on the back from edge to edge'),
    ...remark('empty-shaft-lifted', 'pick', threading.length > 0 ? vain : [], 'lifts a shaft that carries no end'),
  ];
}

function remarksOnTreadles({ tieUp, treadling }: TreadledBy): DraftRemark[] {
  checkTreadling(tieUp, treadling);
  const pressed = new Uint32Array(2);
  for (let word = 0; word < treadling.length; word++) pressed[word & 1] |= treadling[word];
  const untied: number[] = [];
  for (let treadle = 1; treadle <= setCount(tieUp.treadles); treadle++) {
    const tied = (tieUp.treadles[2 * treadle - 2] | tieUp.treadles[2 * treadle - 1]) !== 0;
    if (!tied && hasMember(pressed, 0, treadle)) untied.push(treadle);
  }
  return remark('untied-treadle', 'treadle', untied, 'is pressed but tied to no shaft');
}

/** The shafts that carry an end, as one set of two words. */
function carried(threading: Draft['threading']): Uint32Array {
  const words = new Uint32Array(2);
  for (const shaft of threading) if (shaft !== 0) words[(shaft - 1) >>> 5] |= 1 << ((shaft - 1) & 31);
  return words;
}

/** As many places or runs of places are named. */
const MOST_LISTED = 12;

function remark(code: DraftRemarkCode, part: DraftPart, at: readonly number[], what: string): DraftRemark[] {
  if (at.length === 0) return [];
  const runs = runsOf(at);
  const listed = runs
    .slice(0, MOST_LISTED)
    .map(([first, last]) =>
      first === last ? `${first}` : last === first + 1 ? `${first}, ${last}` : `${first}–${last}`,
    )
    .join(', ');
  const left = runs.slice(MOST_LISTED).reduce((sum, [first, last]) => sum + last - first + 1, 0);
  const more = left > 0 ? ` and ${left} more` : '';
  const name = part.charAt(0).toUpperCase() + part.slice(1);
  const message = at.length > 1 ? `${name}s ${listed}${more}: each ${what}.` : `${name} ${listed} ${what}.`;
  return [{ code, part, at, message }];
}

/** Ascending numbers as their runs, first and last of each. */
function runsOf(at: readonly number[]): readonly (readonly [first: number, last: number])[] {
  const runs: [number, number][] = [];
  for (const each of at) {
    const run = runs.at(-1);
    if (run && run[1] === each - 1) run[1] = each;
    else runs.push([each, each]);
  }
  return runs;
}
