import type { ContactResiduals } from './contactResiduals.ts';
import type { CrossingGrid } from './crossingGrid.ts';
import type { ShadowPart } from './extrapolation.ts';
import type { LikeContacts } from './likeContacts.ts';
import type { SplittingState } from './splitting.ts';

/**
 * Where like threads lie on one another each node is held in parts: the crossing's with half of its weight, and its like
 * contacts, which share the other half (a node without any keeps it in a part that is free). Weights alike everywhere leave
 * the beams' factors and the crossings' projection as they are, at a penalty of half.
 */
export const CROSSING_SHARE = 0.5;

/** One family's part of the nodes' other half. */
interface Rest {
  /** Per node, its like contacts' pulls, or the free part's. */
  readonly pull: Float64Array;
  /** Like contacts of each node. */
  readonly contacts: Uint8Array;
  /** What the beams are drawn to. */
  readonly target: Float64Array;
}

export interface LikeState {
  readonly contacts: LikeContacts;
  readonly warp: Rest;
  readonly weft: Rest;
  /** Per contact, how far unit force moves its part of its upper and lower node at a penalty of 1, mm/N. */
  readonly upperSoftness: Float64Array;
  readonly lowerSoftness: Float64Array;
  /** Per contact, its share of the like contacts of its upper and lower node. */
  readonly upperShare: Float64Array;
  readonly lowerShare: Float64Array;
  /** Per contact: shadow and pull of its upper and lower node. */
  readonly upperShadow: Float64Array;
  readonly upperPull: Float64Array;
  readonly lowerShadow: Float64Array;
  readonly lowerPull: Float64Array;
}

function rest(size: number): Rest {
  return { pull: new Float64Array(size), contacts: new Uint8Array(size), target: new Float64Array(size) };
}

/** @param forceN of the same contacts in an earlier solution, where there is one */
export function createLikeState(
  contacts: LikeContacts,
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  forceN: Float64Array | undefined,
): LikeState {
  const { count, ofEnds, upper, lower } = contacts;
  const warp = rest(state.warpHeight.length);
  const weft = rest(state.weftHeight.length);
  for (let c = 0; c < count; c++) {
    const of = c < ofEnds ? warp : weft;
    of.contacts[upper[c]]++;
    of.contacts[lower[c]]++;
  }
  // z of the parts that the crossings hold, from which all begin.
  middle(state.warpShadow, state.warpPull, warp.pull);
  middle(state.weftShadow, state.weftPull, weft.pull);
  const field = () => new Float64Array(count);
  const like: LikeState = {
    contacts,
    warp,
    weft,
    upperSoftness: field(),
    lowerSoftness: field(),
    upperShare: field(),
    lowerShare: field(),
    upperShadow: field(),
    upperPull: field(),
    lowerShadow: field(),
    lowerPull: field(),
  };
  for (let c = 0; c < count; c++) {
    const of = c < ofEnds ? warp : weft;
    const force = forceN?.length === count ? forceN[c] : 0;
    like.upperSoftness[c] = softnessAt(grid, like, c, upper[c]);
    like.lowerSoftness[c] = softnessAt(grid, like, c, lower[c]);
    like.upperShare[c] = 1 / of.contacts[upper[c]];
    like.lowerShare[c] = 1 / of.contacts[lower[c]];
    const up = (force * like.upperSoftness[c]) / penalty;
    const down = (force * like.lowerSoftness[c]) / penalty;
    like.upperShadow[c] = of.pull[upper[c]] - up;
    like.upperPull[c] = of.pull[upper[c]] + up;
    like.lowerShadow[c] = of.pull[lower[c]] + down;
    like.lowerPull[c] = of.pull[lower[c]] - down;
  }
  gatherPulls(like);
  fillTarget(like.warp, state.warpPull);
  fillTarget(like.weft, state.weftPull);
  return like;
}

function middle(shadow: Float64Array, pull: Float64Array, out: Float64Array): void {
  for (let n = 0; n < out.length; n++) out[n] = 0.5 * (shadow[n] + pull[n]);
}

function softnessAt(grid: CrossingGrid, like: LikeState, contact: number, node: number): number {
  const warp = contact < like.contacts.ofEnds;
  const scale = warp ? grid.warp.scale[node % grid.ends] : grid.weft.scale[Math.floor(node / grid.ends)];
  return (warp ? like.warp : like.weft).contacts[node] / ((1 - CROSSING_SHARE) * scale);
}

/** Sums of the contacts' pulls at their nodes; free parts are left as they are. */
function gatherPulls(like: LikeState): void {
  const { contacts, warp, weft, upperPull, lowerPull } = like;
  for (const { pull, contacts: of } of [warp, weft]) for (let n = 0; n < pull.length; n++) if (of[n] > 0) pull[n] = 0;
  const { count, ofEnds, upper, lower } = contacts;
  const { upperShare, lowerShare } = like;
  for (let c = 0; c < count; c++) {
    const { pull } = c < ofEnds ? warp : weft;
    pull[upper[c]] += upperPull[c] * upperShare[c];
    pull[lower[c]] += lowerPull[c] * lowerShare[c];
  }
}

function fillTarget(of: Rest, own: Float64Array): void {
  for (let n = 0; n < own.length; n++) of.target[n] = CROSSING_SHARE * own[n] + (1 - CROSSING_SHARE) * of.pull[n];
}

/**
 * Relaxes and projects the like contacts and free parts (see projectContacts), then sets the beams' targets. To be called
 * after the crossings' projection, with the beams' own penalties.
 */
export function projectLike(
  state: SplittingState,
  like: LikeState,
  relaxation: number,
  penalty: number,
  nextPenalty: number,
): void {
  const { contacts, upperSoftness, lowerSoftness, upperShadow, upperPull, lowerShadow, lowerPull } = like;
  const perPenalty = 1 / penalty;
  const { count, ofEnds, upper, lower, gapMm } = contacts;
  const keep = penalty / nextPenalty;
  const half = 0.5 * relaxation;
  const stay = 1 - half;
  for (let c = 0; c < count; c++) {
    const height = c < ofEnds ? state.warpHeight : state.weftHeight;
    const a = stay * upperShadow[c] + relaxation * height[upper[c]] - half * upperPull[c];
    const b = stay * lowerShadow[c] + relaxation * height[lower[c]] - half * lowerPull[c];
    const softA = upperSoftness[c] * perPenalty;
    const softB = lowerSoftness[c] * perPenalty;
    const force = Math.max(0, gapMm[c] - a + b) / (softA + softB);
    const za = a + force * softA;
    const zb = b - force * softB;
    upperShadow[c] = za - keep * force * softA;
    upperPull[c] = za + keep * force * softA;
    lowerShadow[c] = zb + keep * force * softB;
    lowerPull[c] = zb - keep * force * softB;
  }
  relaxFree(like.warp, state.warpHeight, relaxation);
  relaxFree(like.weft, state.weftHeight, relaxation);
  gatherPulls(like);
  fillTarget(like.warp, state.warpPull);
  fillTarget(like.weft, state.weftPull);
}

function relaxFree({ pull, contacts }: Rest, height: Float64Array, relaxation: number): void {
  for (let n = 0; n < pull.length; n++) if (contacts[n] === 0) pull[n] += relaxation * (height[n] - pull[n]);
}

/** Shadows of the like contacts, and free parts, whose shadows are their pulls. */
export function likeShadows(state: SplittingState, like: LikeState): ShadowPart[] {
  const { count, ofEnds, upper, lower } = like.contacts;
  const of = (height: Float64Array, from: number, to: number): ShadowPart[] => [
    {
      shadow: like.upperShadow.subarray(from, to),
      pull: like.upperPull.subarray(from, to),
      height,
      node: upper.subarray(from, to),
    },
    {
      shadow: like.lowerShadow.subarray(from, to),
      pull: like.lowerPull.subarray(from, to),
      height,
      node: lower.subarray(from, to),
    },
  ];
  const free = ({ pull, contacts }: Rest, height: Float64Array): ShadowPart => {
    const at = new Uint32Array(contacts.length);
    let count = 0;
    for (let n = 0; n < at.length; n++) if (contacts[n] === 0) at[count++] = n;
    return { shadow: pull, pull, height, at: at.subarray(0, count) };
  };
  return [
    ...of(state.warpHeight, 0, ofEnds),
    ...of(state.weftHeight, ofEnds, count),
    free(like.warp, state.warpHeight),
    free(like.weft, state.weftHeight),
  ];
}

/** Adds the like contacts' to the residuals, whose mean force must be known; returns the forces (N). */
export function measureLike(
  state: SplittingState,
  like: LikeState,
  penalty: number,
  out: ContactResiduals,
): Float64Array {
  const { count, ofEnds, upper, lower, gapMm } = like.contacts;
  const forces = new Float64Array(count);
  const unit = out.meanForceN > 0 ? out.meanForceN : 1;
  for (let c = 0; c < count; c++) {
    const height = c < ofEnds ? state.warpHeight : state.weftHeight;
    const onUpper = (like.upperPull[c] - height[upper[c]]) * (penalty / like.upperSoftness[c]);
    const onLower = (like.lowerPull[c] - height[lower[c]]) * (penalty / like.lowerSoftness[c]);
    const force = 0.5 * (onUpper - onLower);
    const open = (height[upper[c]] - height[lower[c]] - gapMm[c]) / gapMm[c];
    forces[c] = Math.max(0, force);
    out.penetration = Math.max(out.penetration, -open);
    out.forceImbalance = Math.max(out.forceImbalance, Math.abs(onUpper + onLower) / unit);
    const product = force > 0 ? Math.min(1, Math.max(0, open)) * force : -force;
    out.complementarity = Math.max(out.complementarity, product / unit);
  }
  return forces;
}
