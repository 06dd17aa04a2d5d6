import { Feature } from './programFeatures.ts';

/** Each makes the walk longer by as much again: programs that knew several would take three times as long to compile as any one. */
const APART = Feature.mesh | Feature.tight | Feature.clear;

/**
 * Sets of features for pictures that are drawn once and are not worth programs of each one's own: those with the same kind of threads
 * share one set, which only gains.
 */
export class SharedFeatures {
  private readonly shared = new Map<number, number>();

  /** The set to draw with. */
  with(features: number): number {
    const key = features & APART;
    const all = (this.shared.get(key) ?? 0) | features;
    this.shared.set(key, all);
    return all;
  }
}
