import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';

/** What a thread does in its structure; picks of one role are woven with one weft. */
export type ThreadRole =
  | 'only'
  | 'face'
  | 'middle'
  | 'back'
  | 'ground'
  | 'pattern'
  | 'outline'
  | 'wadding'
  | 'cutting'
  | 'thick'
  | 'thin'
  | 'dark'
  | 'pale';

/** One repeat of a structure and what each of its threads is for. */
export interface Structure {
  readonly drawdown: Drawdown;
  /** Per end and per pick of the repeat. */
  readonly ends: readonly ThreadRole[];
  readonly picks: readonly ThreadRole[];
  /** Cloths, one over the other, into which it falls apart where nothing else joins them; 1: it holds as one cloth. */
  readonly layers: number;
}

/** Largest repeat that is made, threads a side; larger ones come of a slip in a number. */
const MOST_REPEAT = 4096;

/** @throws DraftError where a repeat would be too large to make. */
export function checkRepeat(rows: number, ends: number): void {
  if (rows <= MOST_REPEAT && ends <= MOST_REPEAT) return;
  throw new DraftError(
    'too-long',
    WHOLE,
    `This repeat has ${ends} ends and ${rows} picks; at most ${MOST_REPEAT} each can be made. Give smaller numbers.`,
  );
}

/** A drawdown from a rule for each crossing; row and end are counted from 0. */
export function drawdownWhere(rows: number, ends: number, up: (row: number, end: number) => boolean): Drawdown {
  checkRepeat(rows, ends);
  const drawdown = createDrawdown(rows, ends);
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) if (up(row, end)) setWarpUp(drawdown, row, end, true);
  }
  return drawdown;
}

/** A structure whose threads all do the same. */
export function simple(drawdown: Drawdown, layers = 1): Structure {
  return { drawdown, ends: everyThread(drawdown.ends), picks: everyThread(drawdown.rows), layers };
}

export function everyThread(count: number, role: ThreadRole = 'only'): ThreadRole[] {
  return Array<ThreadRole>(count).fill(role);
}

/** The roles in order, begun again until there are `count`. */
export function inTurn(order: readonly ThreadRole[], count: number): ThreadRole[] {
  return Array.from({ length: count }, (_, k) => order[k % order.length]);
}

/** `value` within 0 … `period` − 1. */
export function modulo(value: number, period: number): number {
  return ((value % period) + period) % period;
}

/** Whether the warp is up at a crossing of the repeat carried on; row and end may be any whole numbers from 0. */
export function isUp(drawdown: Drawdown, row: number, end: number): boolean {
  return isWarpUp(drawdown, row % drawdown.rows, end % drawdown.ends);
}

/** Place `k` of a point draw over `reach` places, begun again: 0, 1 … reach − 1, reach − 2 … 1. */
export function pointPlace(k: number, reach: number): number {
  if (reach === 1) return 0;
  const at = modulo(k, 2 * (reach - 1));
  return at < reach ? at : 2 * (reach - 1) - at;
}

/** The cloth turned by 90° with its yarns: what warp did, weft does. */
export function onItsSide({ drawdown, ends, picks, layers }: Structure): Structure {
  const up = (row: number, end: number) => !isWarpUp(drawdown, end, row);
  return { drawdown: drawdownWhere(drawdown.ends, drawdown.rows, up), ends: picks, picks: ends, layers };
}
