import { CROSSINGS_PER_PAUSE } from '#engine/cloth/pauses.ts';
import { type BeamClass, type BeamEnds, type BeamFactor, buildBeamClass, factorBeam } from './beamClass.ts';
import { BEAMS_TOGETHER, sweepFourBeams } from './beamSweep.ts';

/** All warp threads, or all weft rows, as independent beams. */
export interface BeamFamily {
  readonly beams: number;
  /** Distance in the fields from node to node of a beam, and from beam to beam. */
  readonly nodeStep: number;
  readonly beamStep: number;
  readonly firstNode: Uint32Array;
  readonly classes: readonly BeamClass[];
  readonly classOfBeam: Uint32Array;
  /** Beams sorted by class, and where each class starts in that order. */
  readonly order: Uint32Array;
  readonly classStart: Uint32Array;
  /** Natural force per height of each beam, N/mm. */
  readonly scale: Float64Array;
  readonly factors: Map<number, BeamFactor[]>;
}

export interface BeamFamilyInput {
  readonly positions: Float64Array;
  readonly ends: 'periodic' | 'mirrored';
  readonly closingSpanMm: number;
  readonly beams: number;
  readonly nodeStep: number;
  readonly beamStep: number;
  /** First and last node of each beam; others hang free at their ends. */
  readonly first: ArrayLike<number>;
  readonly last: ArrayLike<number>;
  readonly bendingNmm2: Float64Array;
  readonly tensionN: Float64Array;
  readonly confinementShare: number;
  /** How far nodes lie beyond `positions` along their beam, mm, by the fields' own index; left out where none does. */
  readonly shiftMm?: Float64Array;
}

/** Of a span's own length between unmoved nodes, what is left to it however far its nodes move. */
export const LEAST_SPAN_SHARE = 0.2;

/** Positions of a beam's nodes with their shifts, and the span that closes its repeat; null where no node is shifted. */
function shiftedBeam(input: BeamFamilyInput, b: number): { positions: Float64Array; closingSpanMm: number } | null {
  const { shiftMm: shift, positions, first, last, beamStep, nodeStep } = input;
  if (!shift) return null;
  const at = (n: number) => shift[b * beamStep + n * nodeStep];
  let moved = false;
  for (let n = first[b]; n <= last[b] && !moved; n++) moved = at(n) !== 0;
  if (!moved) return null;
  const out = new Float64Array(last[b] - first[b] + 1);
  for (let n = first[b], k = 0; n <= last[b]; n++, k++) {
    out[k] = positions[n] + at(n);
    if (k === 0) continue;
    const least = out[k - 1] + LEAST_SPAN_SHARE * (positions[n] - positions[n - 1]);
    if (out[k] < least) out[k] = least;
  }
  const period = input.closingSpanMm + positions[positions.length - 1] - positions[0];
  const closing = Math.max(LEAST_SPAN_SHARE * input.closingSpanMm, period - out[out.length - 1] + out[0]);
  return { positions: out, closingSpanMm: closing };
}

export function buildBeamFamily(input: BeamFamilyInput): BeamFamily {
  const { positions, beams, first, last } = input;
  const stride = positions.length;
  const spans = input.ends === 'periodic' ? stride : stride - 1;
  const length = positions[stride - 1] - positions[0] + (input.ends === 'periodic' ? input.closingSpanMm : 0);
  const meanPitch = spans > 0 && length > 0 ? length / spans : 1;
  const classes: BeamClass[] = [];
  const known = new Map<string, number>();
  const classOfBeam = new Uint32Array(beams);
  const scale = new Float64Array(beams);
  for (let b = 0; b < beams; b++) {
    const own = shiftedBeam(input, b);
    const key = `${first[b]} ${last[b]} ${input.bendingNmm2[b]} ${input.tensionN[b]}${own ? ` ${b}` : ''}`;
    let index = known.get(key);
    if (index === undefined) {
      index = classes.length;
      known.set(key, index);
      const starts = first[b] === 0;
      const stops = last[b] === stride - 1;
      const mirrored = input.ends === 'mirrored';
      const ends: BeamEnds = {
        repeats: !mirrored && starts && stops,
        levelStart: mirrored && starts,
        levelEnd: mirrored && stops,
      };
      classes.push(
        buildBeamClass(
          own ? own.positions : positions.subarray(first[b], last[b] + 1),
          ends,
          own ? own.closingSpanMm : input.closingSpanMm,
          meanPitch,
          input.bendingNmm2[b],
          input.tensionN[b],
          input.confinementShare,
        ),
      );
    }
    classOfBeam[b] = index;
    scale[b] = classes[index].scale;
  }
  const order = Uint32Array.from({ length: beams }, (_, b) => b).sort(
    (a, b) => classOfBeam[a] - classOfBeam[b] || a - b,
  );
  const classStart = new Uint32Array(classes.length + 1);
  for (let b = 0; b < beams; b++) classStart[classOfBeam[b] + 1]++;
  for (let k = 0; k < classes.length; k++) classStart[k + 1] += classStart[k];
  return {
    beams,
    nodeStep: input.nodeStep,
    beamStep: input.beamStep,
    firstNode: Uint32Array.from(first),
    classes,
    classOfBeam,
    order,
    classStart,
    scale,
    factors: new Map(),
  };
}

/** Factorisations at a penalty, made as they are asked for. */
function factorAt(family: BeamFamily, penalty: number, index: number): BeamFactor {
  let factors = family.factors.get(penalty);
  if (!factors) {
    factors = [];
    family.factors.set(penalty, factors);
  }
  factors[index] ??= factorBeam(family.classes[index], penalty);
  return factors[index];
}

/**
 * Least energy heights (and slopes, where asked for) of every beam, drawn towards `target` with `penalty` times the
 * beam's scale. Pauses now and then.
 */
export function* sweepFamily(
  family: BeamFamily,
  penalty: number,
  target: Float64Array,
  height: Float64Array,
  slope: Float64Array | null = null,
): Generator<void, void> {
  const { order, classStart, nodeStep, beamStep, firstNode } = family;
  let nodes = 0;
  for (let c = 0; c < family.classes.length; c++) {
    const stop = classStart[c + 1];
    const factor = factorAt(family, penalty, c);
    const beam = family.classes[c];
    for (let at = classStart[c]; at < stop; at += BEAMS_TOGETHER) {
      const b0 = order[at];
      const b1 = order[at + 1 < stop ? at + 1 : stop - 1];
      const b2 = order[at + 2 < stop ? at + 2 : stop - 1];
      const b3 = order[at + 3 < stop ? at + 3 : stop - 1];
      const shift = firstNode[b0] * nodeStep;
      sweepFourBeams(
        beam,
        factor,
        target,
        height,
        slope,
        nodeStep,
        b0 * beamStep + shift,
        b1 * beamStep + shift,
        b2 * beamStep + shift,
        b3 * beamStep + shift,
      );
      nodes += BEAMS_TOGETHER * beam.nodes;
      if (nodes < CROSSINGS_PER_PAUSE) continue;
      nodes = 0;
      yield;
    }
  }
}
