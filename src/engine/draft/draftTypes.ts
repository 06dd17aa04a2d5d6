import type { SetWords } from './shaftSet.ts';

/** Per end, leftmost on the face first: the shaft it is drawn on, counted from 1; 0 where it is on no shaft. */
export type Threading = Uint8Array;

/** Per pick, first pick first: the shafts that rise (two words a pick, see `SetWords`). */
export type LiftPlan = SetWords;

/** Per pick: the treadles pressed, any number at once (two words a pick). */
export type Treadling = SetWords;

/** `rising`: tied shafts go up (jack, dobby). `sinking`: tied shafts go down and all others stay up. */
export type Shed = 'rising' | 'sinking';

export interface TieUp {
  /** Shafts on the loom, 1..64. */
  readonly shafts: number;
  readonly shed: Shed;
  /** Per treadle: the shafts tied to it (two words a treadle). */
  readonly treadles: SetWords;
}

export interface Draft {
  /** Shafts on the loom, 1..64. */
  readonly shafts: number;
  readonly threading: Threading;
  readonly liftPlan: LiftPlan;
}
