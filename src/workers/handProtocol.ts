import type { Trouble } from './trouble.ts';

/** What a hand of the crew is told: a piece of work, or to leave the one it is at. */
export type ToHand = { readonly id: number; readonly name: string; readonly job: unknown } | { readonly stop: number };

/** What came of a piece: its result, an error, or nothing where it was stopped. */
export type FromHand =
  | { readonly id: number; readonly result: unknown }
  | { readonly id: number; readonly trouble: Trouble }
  | { readonly id: number; readonly stopped: true };
