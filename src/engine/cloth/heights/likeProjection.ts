import type { Scratch } from '#engine/cloth/scratch.ts';
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
  /** Per node, the pull of its free part; without meaning where it has like contacts. */
  readonly pull: Float64Array;
  /** Weight of the free part in the target; 0 where a node has like contacts. */
  readonly freeWeight: Float64Array;
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
  /** Per contact, the part of what is missing by which its upper node gives way. */
  readonly upperPart: Float64Array;
  /** Per contact, its weight in the target of its upper and lower node. */
  readonly upperWeight: Float64Array;
  readonly lowerWeight: Float64Array;
  /** Per contact: shadow and pull of its upper and lower node. */
  readonly upperShadow: Float64Array;
  readonly upperPull: Float64Array;
  readonly lowerShadow: Float64Array;
  readonly lowerPull: Float64Array;
  /** Per contact, its force (N) when last measured. */
  readonly forceN: Float64Array;
}

function rest(name: string, size: number, scratch: Scratch): Rest {
  const field = (of: string) => scratch.take(`${name} ${of}`, size);
  return {
    pull: field('pull'),
    freeWeight: field('freeWeight'),
    contacts: new Uint8Array(size),
    target: field('target'),
  };
}

/** @param forceN of the same contacts in an earlier solution, where there is one */
export function createLikeState(
  contacts: LikeContacts,
  grid: CrossingGrid,
  state: SplittingState,
  penalty: number,
  forceN: Float64Array | undefined,
  scratch: Scratch,
): LikeState {
  const { count, ofEnds, upper, lower } = contacts;
  const warp = rest('likeWarp', state.warpHeight.length, scratch);
  const weft = rest('likeWeft', state.weftHeight.length, scratch);
  for (let c = 0; c < count; c++) {
    const of = c < ofEnds ? warp : weft;
    of.contacts[upper[c]]++;
    of.contacts[lower[c]]++;
  }
  // z of the parts that the crossings hold, from which all begin.
  middle(state.warpShadow, state.warpPull, warp.pull);
  middle(state.weftShadow, state.weftPull, weft.pull);
  const field = (name: string) => scratch.takeDirty(`like ${name}`, count);
  const like: LikeState = {
    contacts,
    warp,
    weft,
    upperSoftness: field('upperSoftness'),
    lowerSoftness: field('lowerSoftness'),
    upperPart: field('upperPart'),
    upperWeight: field('upperWeight'),
    lowerWeight: field('lowerWeight'),
    upperShadow: field('upperShadow'),
    upperPull: field('upperPull'),
    lowerShadow: field('lowerShadow'),
    lowerPull: field('lowerPull'),
    forceN: field('forceN'),
  };
  for (let c = 0; c < count; c++) {
    const of = c < ofEnds ? warp : weft;
    const force = forceN?.length === count ? forceN[c] : 0;
    like.upperSoftness[c] = softnessAt(grid, like, c, upper[c]);
    like.lowerSoftness[c] = softnessAt(grid, like, c, lower[c]);
    like.upperPart[c] = like.upperSoftness[c] / (like.upperSoftness[c] + like.lowerSoftness[c]);
    like.upperWeight[c] = (1 - CROSSING_SHARE) / of.contacts[upper[c]];
    like.lowerWeight[c] = (1 - CROSSING_SHARE) / of.contacts[lower[c]];
    const up = (force * like.upperSoftness[c]) / penalty;
    const down = (force * like.lowerSoftness[c]) / penalty;
    like.upperShadow[c] = of.pull[upper[c]] - up;
    like.upperPull[c] = of.pull[upper[c]] + up;
    like.lowerShadow[c] = of.pull[lower[c]] + down;
    like.lowerPull[c] = of.pull[lower[c]] - down;
  }
  for (const of of [warp, weft])
    for (let n = 0; n < of.contacts.length; n++) if (of.contacts[n] === 0) of.freeWeight[n] = 1 - CROSSING_SHARE;
  relaxFree(warp, state.warpHeight, state.warpPull, 0);
  relaxFree(weft, state.weftHeight, state.weftPull, 0);
  for (let c = 0; c < count; c++) {
    const { target } = c < ofEnds ? warp : weft;
    target[upper[c]] += like.upperWeight[c] * like.upperPull[c];
    target[lower[c]] += like.lowerWeight[c] * like.lowerPull[c];
  }
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

/**
 * Relaxes and projects the like contacts and free parts (see projectContacts), and sets the beams' targets. To be called
 * after the crossings' projection, with the beams' own penalties.
 */
export function projectLike(
  state: SplittingState,
  like: LikeState,
  relaxation: number,
  penalty: number,
  nextPenalty: number,
): void {
  const { count, ofEnds } = like.contacts;
  const keep = penalty / nextPenalty;
  relaxFree(like.warp, state.warpHeight, state.warpPull, relaxation);
  relaxFree(like.weft, state.weftHeight, state.weftPull, relaxation);
  projectFamily(like, state.warpHeight, like.warp.target, relaxation, keep, 0, ofEnds);
  projectFamily(like, state.weftHeight, like.weft.target, relaxation, keep, ofEnds, count);
}

/** Relaxes free parts and begins the targets with them and the crossings' pulls. */
function relaxFree(of: Rest, height: Float64Array, own: Float64Array, relaxation: number): void {
  const { pull, freeWeight, target } = of;
  for (let n = 0; n < pull.length; n++) {
    const relaxed = pull[n] + relaxation * (height[n] - pull[n]);
    pull[n] = relaxed;
    target[n] = CROSSING_SHARE * own[n] + freeWeight[n] * relaxed;
  }
}

/** Relaxes and projects the contacts from `from` to `to` and adds their pulls to the targets of their nodes. */
function projectFamily(
  like: LikeState,
  height: Float64Array,
  target: Float64Array,
  relaxation: number,
  keep: number,
  from: number,
  to: number,
): void {
  const { upper, lower, gapMm } = like.contacts;
  const { upperShadow, upperPull, lowerShadow, lowerPull, upperPart, upperWeight, lowerWeight } = like;
  const half = 0.5 * relaxation;
  const stay = 1 - half;
  const lost = 1 - keep;
  const kept = 1 + keep;
  for (let c = from; c < to; c++) {
    const u = upper[c];
    const l = lower[c];
    const a = stay * upperShadow[c] + relaxation * height[u] - half * upperPull[c];
    const b = stay * lowerShadow[c] + relaxation * height[l] - half * lowerPull[c];
    const missing = Math.max(0, gapMm[c] - a + b);
    const up = missing * upperPart[c];
    const down = missing - up;
    const upPull = a + kept * up;
    const downPull = b - kept * down;
    upperShadow[c] = a + lost * up;
    upperPull[c] = upPull;
    lowerShadow[c] = b - lost * down;
    lowerPull[c] = downPull;
    target[u] += upperWeight[c] * upPull;
    target[l] += lowerWeight[c] * downPull;
  }
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

/** Adds the like contacts' to the residuals, whose mean force must be known, and takes down their forces. */
export function measureLike(state: SplittingState, like: LikeState, penalty: number, out: ContactResiduals): void {
  const { count, ofEnds, upper, lower, gapMm } = like.contacts;
  const unit = out.meanForceN > 0 ? out.meanForceN : 1;
  for (let c = 0; c < count; c++) {
    const height = c < ofEnds ? state.warpHeight : state.weftHeight;
    const onUpper = (like.upperPull[c] - height[upper[c]]) * (penalty / like.upperSoftness[c]);
    const onLower = (like.lowerPull[c] - height[lower[c]]) * (penalty / like.lowerSoftness[c]);
    const force = 0.5 * (onUpper - onLower);
    const open = (height[upper[c]] - height[lower[c]] - gapMm[c]) / gapMm[c];
    like.forceN[c] = Math.max(0, force);
    out.penetration = Math.max(out.penetration, -open);
    out.forceImbalance = Math.max(out.forceImbalance, Math.abs(onUpper + onLower) / unit);
    const product = force > 0 ? Math.min(1, Math.max(0, open)) * force : -force;
    out.complementarity = Math.max(out.complementarity, product / unit);
  }
}
