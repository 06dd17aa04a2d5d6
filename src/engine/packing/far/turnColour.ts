import type { Progress } from '#engine/cloth/clothTypes.ts';
import { colourDifference, type LinearRgb, labFromLinear } from '#engine/colour/colour.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import { ClothWalker } from '#engine/packing/walk/walkCloth.ts';
import { lookAtCloth, threadMet } from './classRays.ts';
import type { FarCloth } from './farTypes.ts';

/** What the cloth shows, as a whole, at one angle of its turn. */
export interface TurnStep {
  /** From square-on; positive turns the right edge (or the upper edge) away from the eye. */
  readonly degrees: number;
  /** Mean of the threads' cone colours by what shows of each, in linear light; gaps left out. */
  readonly colour: LinearRgb;
  /** Shares of the cloth's outline that are warp and weft. */
  readonly warp: number;
  readonly weft: number;
  /** CIEDE2000 from square-on. */
  readonly difference: number;
}

export interface Turn {
  readonly about: 'upright' | 'level';
  readonly steps: readonly TurnStep[];
}

export interface Turns {
  readonly face: readonly Turn[];
  readonly back: readonly Turn[];
}

/** Beyond this few look at cloth (common practice). */
const MOST_TURN_DEGREES = 60;
const STEP_DEGREES = 15;

/** Lines of sight a direction, the same at each: shares come out to about 0.004, what changes between them nearer. */
const RAYS = 1200;

/**
 * How the mean colour of a cloth moves as it is turned, in even light: threads hide each other by their shapes alone (the
 * cause of a shot cloth's change, R. Lu, J. Koenderink & A. Kappers 2000). Pauses after each angle.
 * @param colourOf cone colour of a material, linear
 */
export function* turnsInSteps(
  cloth: PackedCloth,
  far: FarCloth,
  colourOf: (material: number) => LinearRgb,
): Generator<Progress, Turns> {
  const walker = new ClothWalker(cloth);
  const turns: { face: Turn[]; back: Turn[] } = { face: [], back: [] };
  for (const side of ['face', 'back'] as const) {
    const square = colourAt(walker, far, viewAt(side, 'upright', 0), colourOf);
    for (const about of ['upright', 'level'] as const) {
      const steps: TurnStep[] = [];
      for (let degrees = -MOST_TURN_DEGREES; degrees <= MOST_TURN_DEGREES; degrees += STEP_DEGREES) {
        const seen = degrees === 0 ? square : colourAt(walker, far, viewAt(side, about, degrees), colourOf);
        steps.push({ degrees, ...seen, difference: colourDifference(square.colour, seen.colour) });
        yield { stage: 'packing', share: 1 };
      }
      turns[side].push({ about, steps });
    }
  }
  return turns;
}

/** Towards the eye, unit, cloth axes. */
function viewAt(side: 'face' | 'back', about: Turn['about'], degrees: number): readonly [number, number, number] {
  const angle = (degrees * Math.PI) / 180;
  const across = Math.sin(angle);
  const out = Math.cos(angle) * (side === 'face' ? 1 : -1);
  return about === 'upright' ? [across, 0, out] : [0, across, out];
}

function colourAt(
  walker: ClothWalker,
  far: FarCloth,
  view: readonly [number, number, number],
  colourOf: (material: number) => LinearRgb,
): Pick<TurnStep, 'colour' | 'warp' | 'weft'> {
  const sum: [number, number, number] = [0, 0, 0];
  let warp = 0;
  let weft = 0;
  lookAtCloth(walker, far, RAYS, view, (share, { met, hit }) => {
    if (!met) return;
    const { isWarp, material } = threadMet(walker.cloth, hit);
    if (isWarp) warp += share;
    else weft += share;
    const colour = colourOf(material);
    for (let channel = 0; channel < 3; channel++) sum[channel] += share * colour[channel];
  });
  const threads = Math.max(1e-9, warp + weft);
  return { colour: [sum[0] / threads, sum[1] / threads, sum[2] / threads], warp, weft };
}

/** The step farthest in colour from square-on. */
export function farthestStep({ steps }: Turn): TurnStep {
  return steps.reduce((most, step) => (step.difference > most.difference ? step : most));
}

const HUES = ['red', 'orange', 'yellow', 'green', 'blue-green', 'blue', 'purple'] as const;
/** CIELAB hue angles about where those names stand (from memory of sRGB's primaries and mixtures in L*a*b*). */
const HUE_DEGREES = [40, 70, 100, 140, 200, 280, 325];

/** Below this chroma a colour has no hue to name; the hue of the change is named then. */
const NEAR_GREY = 8;

/** Where a colour moves, in a word: the hue that it takes on, or lighter, darker, greyer. */
export function towards(from: LinearRgb, to: LinearRgb): string {
  const [l0, a0, b0] = labFromLinear(from);
  const [l1, a1, b1] = labFromLinear(to);
  const moved = Math.hypot(a1 - a0, b1 - b0);
  if (Math.abs(l1 - l0) > moved) return l1 > l0 ? 'lighter' : 'darker';
  const before = Math.hypot(a0, b0);
  const after = Math.hypot(a1, b1);
  if (before - after > 0.8 * moved) return 'greyer';
  return after > NEAR_GREY ? hueName(a1, b1) : hueName(a1 - a0, b1 - b0);
}

function hueName(a: number, b: number): string {
  const hue = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  const gap = (at: number) => Math.abs(((hue - HUE_DEGREES[at] + 540) % 360) - 180);
  let nearest = 0;
  for (let k = 1; k < HUES.length; k++) if (gap(k) < gap(nearest)) nearest = k;
  return HUES[nearest];
}
