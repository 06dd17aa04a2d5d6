import type { Change } from '#document/difference.ts';

/** One undo step: a command, or a whole gesture. */
export interface HistoryStep {
  readonly name: string;
  readonly changes: readonly Change[];
  /** Memory that this step keeps alive beyond what earlier steps already hold, bytes (estimate). */
  readonly bytes: number;
}

export interface HistoryLimits {
  readonly bytes: number;
  readonly steps: number;
}

/** Room for at least 200 edits of every pick of the longest sample (see the history test). */
export const defaultHistoryLimits: HistoryLimits = { bytes: 64 * 1024 * 1024, steps: 2000 };

/**
 * Estimated memory of a value, bytes: 8 a slot or number, 16 an object, 2 a character. An object already in `seen`
 * counts as nothing, since steps share unchanged subtrees.
 */
function sizeOf(value: unknown, seen: WeakSet<object>): number {
  if (typeof value === 'string') return 16 + 2 * value.length;
  if (typeof value !== 'object' || value === null) return 8;
  if (seen.has(value)) return 8;
  seen.add(value);
  let bytes = 16;
  if (Array.isArray(value)) for (const item of value) bytes += sizeOf(item, seen);
  else for (const item of Object.values(value)) bytes += 8 + sizeOf(item, seen);
  return bytes;
}

/** Undo and redo steps within a byte budget; the oldest go first when it is spent. */
export class History {
  readonly #limits: HistoryLimits;
  #past: HistoryStep[] = [];
  #future: HistoryStep[] = [];
  #bytes = 0;
  #seen = new WeakSet<object>();

  constructor(limits: HistoryLimits = defaultHistoryLimits) {
    this.#limits = limits;
  }

  get undoName(): string | null {
    return this.#past.at(-1)?.name ?? null;
  }

  get redoName(): string | null {
    return this.#future.at(-1)?.name ?? null;
  }

  get length(): number {
    return this.#past.length;
  }

  get bytes(): number {
    return this.#bytes;
  }

  /** Adds a step and drops what had been undone. Keeps the newest step whatever its size. */
  record(name: string, changes: readonly Change[]): void {
    for (const step of this.#future) this.#bytes -= step.bytes;
    this.#future = [];
    const bytes = sizeOf(changes, this.#seen);
    this.#past.push({ name, changes, bytes });
    this.#bytes += bytes;
    let drop = 0;
    while (
      drop < this.#past.length - 1 &&
      (this.#bytes > this.#limits.bytes || this.#past.length - drop > this.#limits.steps)
    ) {
      this.#bytes -= this.#past[drop].bytes;
      drop++;
    }
    if (drop > 0) this.#past.splice(0, drop);
  }

  /** The step to reverse, moved to the redo side. */
  takeUndo(): HistoryStep | undefined {
    const step = this.#past.pop();
    if (step) this.#future.push(step);
    return step;
  }

  /** The step to apply again, moved back to the undo side. */
  takeRedo(): HistoryStep | undefined {
    const step = this.#future.pop();
    if (step) this.#past.push(step);
    return step;
  }

  clear(): void {
    this.#past = [];
    this.#future = [];
    this.#bytes = 0;
    this.#seen = new WeakSet();
  }
}
