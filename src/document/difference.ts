import { freeze } from 'immer';
import type { PlacePath } from './problem.ts';

/**
 * Differences between two JSON trees: what one undo step holds, and what a kept version is in a file.
 * Each can be reversed by exchanging its before and after. Subtrees shared by reference cost nothing to compare.
 * Grid edits become runs: one field over consecutive list entries, as (first index, before[], after[]).
 * `undefined` stands for an absent key.
 */
export type Change =
  | { readonly kind: 'set'; readonly at: PlacePath; readonly before: unknown; readonly after: unknown }
  | {
      readonly kind: 'splice';
      readonly at: PlacePath;
      readonly from: number;
      readonly removed: readonly unknown[];
      readonly inserted: readonly unknown[];
    }
  | {
      readonly kind: 'run';
      readonly at: PlacePath;
      readonly from: number;
      readonly field: PlacePath;
      readonly before: readonly unknown[];
      readonly after: readonly unknown[];
    };

type Tree = Record<string, unknown>;

function isTree(value: unknown): value is Tree {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function holdsObjects(list: readonly unknown[]): boolean {
  return list.length > 0 && typeof list[0] === 'object' && list[0] !== null;
}

export function sameTree(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (Array.isArray(a)) {
    if (!Array.isArray(b) || a.length !== b.length) return false;
    for (let i = 0; i < a.length; i++) if (!sameTree(a[i], b[i])) return false;
    return true;
  }
  if (!isTree(a) || !isTree(b)) return false;
  for (const key of Object.keys(a)) if (!sameTree(a[key], b[key])) return false;
  for (const key of Object.keys(b)) if (b[key] !== undefined && a[key] === undefined) return false;
  return true;
}

interface LeafChange {
  readonly field: PlacePath;
  readonly before: unknown;
  readonly after: unknown;
}

/** Smallest fields in which two list entries differ. */
function collectLeaves(before: unknown, after: unknown, field: PlacePath, out: LeafChange[]): void {
  if (Object.is(before, after)) return;
  if (isTree(before) && isTree(after)) {
    for (const key of keysOfBoth(before, after)) collectLeaves(before[key], after[key], [...field, key], out);
  } else if (
    Array.isArray(before) &&
    Array.isArray(after) &&
    before.length === after.length &&
    holdsObjects(before) &&
    holdsObjects(after)
  ) {
    for (let i = 0; i < before.length; i++) collectLeaves(before[i], after[i], [...field, i], out);
  } else if (!sameTree(before, after)) {
    out.push({ field, before, after });
  }
}

function keysOfBoth(a: Tree, b: Tree): string[] {
  return [...new Set([...Object.keys(a), ...Object.keys(b)])];
}

/** Entries left as they are that a run may pass over: alternating wefts, and threefold ones, stay one run. */
const LONGEST_GAP = 3;

/** Brings an open run up to entry `i` where no more than a short gap lies between in which its field is unchanged. */
function bridge(run: OpenRun, before: readonly unknown[], after: readonly unknown[], i: number): boolean {
  const next = run.from + run.before.length;
  if (i - next > LONGEST_GAP) return false;
  const values: unknown[] = [];
  for (let k = next; k < i; k++) {
    const value = fieldOf(before[k], run.field);
    // Another run may have changed what holds the field, so both sides must have it, and alike.
    if (value === noHolder || !sameTree(value, fieldOf(after[k], run.field))) return false;
    values.push(value);
  }
  run.before.push(...values);
  run.after.push(...values);
  return true;
}

const noHolder = Symbol('nothing that could hold the field');

function fieldOf(entry: unknown, field: PlacePath): unknown {
  let tree = entry;
  for (const [depth, key] of field.entries()) {
    if (typeof tree !== 'object' || tree === null) return noHolder;
    if (!Object.hasOwn(tree, key)) return depth === field.length - 1 && !Array.isArray(tree) ? undefined : noHolder;
    tree = (tree as Record<string | number, unknown>)[key];
  }
  return tree;
}

interface OpenRun {
  readonly from: number;
  readonly field: PlacePath;
  readonly before: unknown[];
  readonly after: unknown[];
}

function diffEntries(before: readonly unknown[], after: readonly unknown[], at: PlacePath, out: Change[]): void {
  /** Run still open for each field, by its path. */
  const open = new Map<string, OpenRun>();
  const leaves: LeafChange[] = [];
  for (let i = 0; i < before.length; i++) {
    leaves.length = 0;
    collectLeaves(before[i], after[i], [], leaves);
    for (const leaf of leaves) {
      const key = JSON.stringify(leaf.field);
      const run = open.get(key);
      if (run && bridge(run, before, after, i)) {
        run.before.push(leaf.before);
        run.after.push(leaf.after);
      } else {
        const fresh = { from: i, field: leaf.field, before: [leaf.before], after: [leaf.after] };
        open.set(key, fresh);
        out.push({ kind: 'run', at, ...fresh });
      }
    }
  }
}

function diffSplice(before: readonly unknown[], after: readonly unknown[], at: PlacePath, out: Change[]): void {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (start < shorter && sameTree(before[start], after[start])) start++;
  let end = 0;
  while (end < shorter - start && sameTree(before[before.length - 1 - end], after[after.length - 1 - end])) end++;
  const removed = before.slice(start, before.length - end);
  const inserted = after.slice(start, after.length - end);
  if (removed.length > 0 || inserted.length > 0) out.push({ kind: 'splice', at, from: start, removed, inserted });
}

function diffInto(before: unknown, after: unknown, at: PlacePath, out: Change[]): void {
  if (Object.is(before, after)) return;
  if (isTree(before) && isTree(after)) {
    for (const key of keysOfBoth(before, after)) diffInto(before[key], after[key], [...at, key], out);
  } else if (Array.isArray(before) && Array.isArray(after)) {
    if (before.length === after.length && holdsObjects(before) && holdsObjects(after)) {
      diffEntries(before, after, at, out);
    } else {
      diffSplice(before, after, at, out);
    }
  } else if (!sameTree(before, after)) {
    out.push({ kind: 'set', at, before, after });
  }
}

/** What turns `before` into `after`, in an order that `applyChanges` can follow. Empty when they are the same. */
export function difference(before: unknown, after: unknown): Change[] {
  const out: Change[] = [];
  diffInto(before, after, [], out);
  return out;
}

function reverseChange(change: Change): Change {
  if (change.kind === 'splice') return { ...change, removed: change.inserted, inserted: change.removed };
  return { ...change, before: change.after, after: change.before } as Change;
}

export function reverseChanges(changes: readonly Change[]): Change[] {
  return changes.map(reverseChange).reverse();
}

/** A change that does not fit the tree that it is applied to. */
export class ChangeError extends Error {}

/** Keys through which a hostile file could reach the prototype of every object. */
const forbiddenKeys = new Set(['__proto__', 'constructor', 'prototype']);

/** A copy of `tree` with the value at `path` replaced; everything off the path is shared. */
function replaceAt(tree: unknown, path: PlacePath, depth: number, change: (old: unknown) => unknown): unknown {
  if (depth === path.length) return change(tree);
  const key = path[depth];
  if (Array.isArray(tree)) {
    if (typeof key !== 'number' || key >= tree.length) throw new ChangeError(`there is no entry ${key} here`);
    const copy = tree.slice();
    copy[key] = replaceAt(tree[key], path, depth + 1, change);
    return copy;
  }
  if (!isTree(tree)) throw new ChangeError(`there is nothing at "${key}" to change`);
  if (typeof key !== 'string' || forbiddenKeys.has(key)) throw new ChangeError(`"${key}" is not a field`);
  const copy: Tree = { ...tree };
  const value = replaceAt(Object.hasOwn(tree, key) ? tree[key] : undefined, path, depth + 1, change);
  if (value === undefined) delete copy[key];
  else copy[key] = value;
  return copy;
}

function listIn(value: unknown): unknown[] {
  if (!Array.isArray(value)) throw new ChangeError('there is no list here');
  return value;
}

function applyChange(tree: unknown, change: Change): unknown {
  if (change.kind === 'set') return replaceAt(tree, change.at, 0, () => change.after);
  return replaceAt(tree, change.at, 0, (old) => {
    const list = listIn(old).slice();
    const span = change.kind === 'splice' ? change.removed.length : change.after.length;
    if (change.from + span > list.length) {
      throw new ChangeError(
        `entries ${change.from + 1} to ${change.from + span} are asked for, ${list.length} are here`,
      );
    }
    if (change.kind === 'splice')
      return [...list.slice(0, change.from), ...change.inserted, ...list.slice(change.from + span)];
    for (let i = 0; i < change.after.length; i++) {
      list[change.from + i] = replaceAt(list[change.from + i], change.field, 0, () => change.after[i]);
    }
    return list;
  });
}

/**
 * The tree after the changes, deeply frozen; the one given is not touched.
 * @throws ChangeError when a change does not fit.
 */
export function applyChanges<Value>(tree: Value, changes: readonly Change[]): Value {
  let result: unknown = tree;
  for (const change of changes) result = applyChange(result, change);
  return freeze(result as Value, true);
}
