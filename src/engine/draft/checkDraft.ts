import { DraftError, WHOLE } from './draftError.ts';
import type { Draft, Threading, TieUp, Treadling } from './draftTypes.ts';
import { listMembers, MOST_SHAFTS, type SetWords, setCount } from './shaftSet.ts';

/** @throws DraftError where the loom's shafts are not a whole number of 1..64. */
export function checkShafts(shafts: number): void {
  if (Number.isInteger(shafts) && shafts >= 1 && shafts <= MOST_SHAFTS) return;
  const code = shafts > MOST_SHAFTS ? 'too-many-shafts' : 'shaft-out-of-range';
  throw new DraftError(code, WHOLE, `A loom here has 1 to ${MOST_SHAFTS} shafts; ${shafts} were given.`);
}

/**
 * A threading from shaft numbers, one an end, 0 for an end on no shaft.
 * @throws DraftError naming the first end whose shaft the loom does not have.
 */
export function threadingFromShafts(numbers: readonly number[], shafts: number = MOST_SHAFTS): Threading {
  checkShafts(shafts);
  numbers.forEach((shaft, end) => {
    if (shaft !== 0) checkEnd(shaft, end, shafts);
  });
  return Uint8Array.from(numbers);
}

/** @throws DraftError naming the first end drawn on a shaft that the loom does not have. */
export function checkThreading(threading: Threading, shafts: number): void {
  checkShafts(shafts);
  for (let end = 0; end < threading.length; end++) {
    if (threading[end] > shafts) checkEnd(threading[end], end, shafts);
  }
}

/** @throws DraftError naming the first pick that lifts a shaft, or uses a treadle, beyond `most`. */
export function checkSets(
  words: SetWords,
  most: number,
  memberPart: 'shaft' | 'treadle',
  listPart: 'pick' | 'treadle',
): void {
  const sets = setCount(words);
  for (let index = 0; index < sets; index++) {
    if (words[2 * index] === 0 && words[2 * index + 1] === 0) continue;
    const members = listMembers(words, index);
    const member = members[members.length - 1];
    if (member <= most) continue;
    const verb = memberPart === 'treadle' ? 'presses' : listPart === 'pick' ? 'lifts' : 'is tied to';
    throw new DraftError(
      memberPart === 'shaft' ? 'shaft-out-of-range' : 'treadle-out-of-range',
      { part: listPart, at: index + 1 },
      `${listPart === 'pick' ? 'Pick' : 'Treadle'} ${index + 1} ${verb} ${memberPart} ${member}; ` +
        `there are ${memberPart}s 1 to ${most}.`,
    );
  }
}

/** @throws DraftError where anything in the draft cannot be. */
export function checkDraft(draft: Draft): void {
  checkThreading(draft.threading, draft.shafts);
  checkSets(draft.liftPlan, draft.shafts, 'shaft', 'pick');
}

/** @throws DraftError where a treadle is tied to a shaft, or a pick presses a treadle, that is not there. */
export function checkTreadling(tieUp: TieUp, treadling: Treadling): void {
  checkShafts(tieUp.shafts);
  checkSets(tieUp.treadles, tieUp.shafts, 'shaft', 'treadle');
  const treadles = setCount(tieUp.treadles);
  if (treadles > MOST_SHAFTS) {
    throw new DraftError(
      'too-many-treadles',
      { part: 'treadle', at: MOST_SHAFTS + 1 },
      `A tie-up here has at most ${MOST_SHAFTS} treadles; ${treadles} were given.`,
    );
  }
  checkSets(treadling, treadles, 'treadle', 'pick');
}

/**
 * @throws DraftError where two lists that must run alongside each other do not have the same length,
 *   for instance ends threaded and ends in the colour order.
 */
export function checkSameLength(
  first: { readonly what: string; readonly length: number },
  second: { readonly what: string; readonly length: number },
  part: 'end' | 'pick',
): void {
  if (first.length === second.length) return;
  throw new DraftError(
    'lengths-differ',
    { part, at: Math.min(first.length, second.length) + 1 },
    `The ${first.what} has ${first.length} ${part}s and the ${second.what} ${second.length}; ` +
      `they must have the same number. They part at ${part} ${Math.min(first.length, second.length) + 1}.`,
  );
}

function checkEnd(shaft: number, end: number, shafts: number): void {
  if (Number.isInteger(shaft) && shaft >= 1 && shaft <= shafts) return;
  throw new DraftError(
    'shaft-out-of-range',
    { part: 'end', at: end + 1 },
    `End ${end + 1} is drawn on shaft ${shaft}; the loom has shafts 1 to ${shafts}. Give a shaft it has, or 0 for none.`,
  );
}
