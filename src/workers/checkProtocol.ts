import type { LiftPlan, Threading, TieUp } from '#engine/draft/draftTypes.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import type { CheckedCloth, Finding } from '#engine/weave/checks/checkTypes.ts';
import type { Noticed } from '#engine/weave/faults/noticedFrom.ts';
import type { LoomFit } from '#engine/weave/fit/fitTypes.ts';
import type { SmallerTieUp } from '#engine/weave/fit/smallerTieUp.ts';

/** A flat cloth as it travels to the worker: colours and widths by yarn, [r, g, b] linear. */
export interface FlatClothSent {
  readonly drawdown: Drawdown;
  readonly endYarn: ArrayLike<number>;
  readonly rowYarn: ArrayLike<number>;
  readonly colours: readonly (readonly [number, number, number])[];
  readonly widthsMm: readonly number[];
  readonly endXMm: ArrayLike<number>;
  readonly rowYMm: ArrayLike<number>;
}

export type CheckJob =
  | { readonly kind: 'check'; readonly cloth: CheckedCloth; readonly floatLimitMm: number | null }
  | {
      readonly kind: 'fit';
      readonly drawdown: Drawdown;
      readonly threading: Threading;
      readonly shafts: number;
      /** Of a treadle loom. */
      readonly tieUp?: TieUp;
    }
  /** Of lifts: the fewest treadles that are found for them, two pressed at once. */
  | { readonly kind: 'tieUp'; readonly liftPlan: LiftPlan; readonly shafts: number }
  | {
      readonly kind: 'notice';
      readonly right: FlatClothSent;
      readonly faulty: FlatClothSent;
      readonly place: { readonly row: number; readonly end: number };
      /** The eye's spread is in proportion to the distance: standard deviation in mm, per mm. */
      readonly spreadPerMm: number;
    };

/** The nearest cloth, with what is lifted or pressed. */
export interface FitAnswer extends LoomFit {
  readonly lifts: LiftPlan;
}

export interface CheckAnswers {
  readonly check: readonly Finding[];
  readonly fit: FitAnswer;
  readonly tieUp: SmallerTieUp;
  readonly notice: Noticed;
}

export type CheckReply =
  | { readonly id: number; readonly answer: CheckAnswers[CheckJob['kind']] }
  | { readonly id: number; readonly trouble: string };
