/** What in a draft an error or a remark speaks of. All are counted from 1, as weavers count. */
export type DraftPart = 'end' | 'pick' | 'shaft' | 'treadle' | 'character' | 'whole';

export interface DraftPlace {
  readonly part: DraftPart;
  /** Counted from 1; 0 where the part is 'whole'. */
  readonly at: number;
}

export type DraftErrorCode =
  | 'shaft-out-of-range'
  | 'treadle-out-of-range'
  | 'too-many-shafts'
  | 'too-many-treadles'
  | 'lengths-differ'
  | 'shaft-shared'
  | 'sizes-do-not-fit'
  | 'nothing-there'
  | 'notation'
  | 'too-long';

/** A draft that cannot be: says what is wrong, where (counted from 1), and what to do. */
export class DraftError extends Error {
  override readonly name = 'DraftError';
  readonly code: DraftErrorCode;
  readonly where: DraftPlace;

  constructor(code: DraftErrorCode, where: DraftPlace, message: string) {
    super(message);
    this.code = code;
    this.where = where;
  }
}

export const WHOLE: DraftPlace = { part: 'whole', at: 0 };
