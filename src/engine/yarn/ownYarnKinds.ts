import { estimate, figures, type OwnYarnKind, type OwnYarnMeasured, type Stiffness } from './ownYarnTypes.ts';
import type { Hairiness, Lustre } from './yarnRecord.ts';
import type { SurfaceMake } from './yarnSurface.ts';
import type { Compressibility } from './yarnTypes.ts';

interface Usual {
  readonly shape: 'round' | 'strip';
  /** In a sentence: "usual for a cut strip of cloth". */
  readonly words: string;
  readonly lustre?: Lustre;
  readonly hairiness?: Hairiness;
  readonly hairLengthMm?: readonly [number, number];
  readonly squeeze?: Compressibility;
  readonly stiffness?: Stiffness;
  readonly make?: SurfaceMake;
  readonly mesh?: 'hexagon' | 'square';
}

/** What most yarns that look so are like: as on the shelf's cards (common practice; lengths and makes from memory). */
const USUAL: Readonly<Record<OwnYarnKind, Usual>> = {
  spun: { shape: 'round', words: 'spun yarn' },
  filament: { shape: 'round', words: 'shiny filament', lustre: 'bright', hairiness: 'none' },
  hairy: { shape: 'round', words: 'brushed or hairy yarn', hairiness: 'halo', squeeze: 'high' },
  pile: { shape: 'round', words: 'chenille', hairiness: 'pile', squeeze: 'high' },
  loops: { shape: 'round', words: 'bouclé', hairiness: 'loops', squeeze: 'high' },
  // Its loops lie close round the core where those of bouclé stand off.
  gimp: { shape: 'round', words: 'gimp', hairiness: 'loops', hairLengthMm: [0.4, 1.2], squeeze: 'medium' },
  cord: { shape: 'round', words: 'braided cord', hairiness: 'low' },
  line: { shape: 'round', words: 'a clear line', lustre: 'clear', hairiness: 'none', squeeze: 'none' },
  wire: { shape: 'round', words: 'bare wire', lustre: 'metal', hairiness: 'none', squeeze: 'none' },
  film: { shape: 'strip', words: 'a strip of film or foil', lustre: 'film', hairiness: 'none', squeeze: 'none' },
  hologram: { shape: 'strip', words: 'a holographic strip', lustre: 'hologram', hairiness: 'none', squeeze: 'none' },
  cloth: {
    shape: 'strip',
    words: 'a cut strip of cloth',
    hairiness: 'frayed edge',
    make: { kind: 'woven', acrossMm: 0.4, alongMm: 0.4 },
  },
  jersey: {
    shape: 'strip',
    words: 'a cut strip of jersey',
    hairiness: 'low',
    stiffness: 'limp',
    make: { kind: 'knitted', acrossMm: 0.7, alongMm: 0.55 },
  },
  felt: {
    shape: 'strip',
    words: 'a cut strip of felt',
    hairiness: 'medium',
    make: { kind: 'felted', acrossMm: 0.5, alongMm: 1.5 },
  },
  ribbon: { shape: 'strip', words: 'ribbon', lustre: 'bright', hairiness: 'none', squeeze: 'low' },
  net: {
    shape: 'strip',
    words: 'a strip of net',
    lustre: 'satin',
    hairiness: 'none',
    squeeze: 'high',
    stiffness: 'limp',
    mesh: 'hexagon',
  },
  sheer: {
    shape: 'strip',
    words: 'a strip of sheer cloth',
    lustre: 'satin',
    hairiness: 'frayed edge',
    squeeze: 'high',
    mesh: 'square',
  },
  paper: { shape: 'strip', words: 'a strip of paper or card', lustre: 'matte', hairiness: 'none', squeeze: 'none' },
};

/** Whether what looks so is round or flat. */
export function shapeOfKind(kind: OwnYarnKind): 'round' | 'strip' {
  return USUAL[kind].shape;
}

/** How the holes of what looks so lie; undefined where it has none. */
export function meshOfKind(kind: OwnYarnKind): 'hexagon' | 'square' | undefined {
  return USUAL[kind].mesh;
}

export interface AsItLooks {
  /** What was measured, what was not tried filled in. */
  readonly measured: OwnYarnMeasured;
  readonly make?: SurfaceMake;
  readonly hairLengthMm?: readonly [number, number];
  /** Where each figure comes from that was filled in. */
  readonly from: Readonly<Record<string, string>>;
}

/** How far a yarn gives is read off its wraps where there are any; a solid one does not give, whatever they say. */
function squeezeOf({ squeeze, wraps }: OwnYarnMeasured, usual: Usual): Compressibility | undefined {
  return squeeze ?? (usual.squeeze === 'none' || !wraps ? usual.squeeze : undefined);
}

/** Where nothing was tried or looked at, a yarn is taken to be as those that look like it. */
export function asItLooks(measured: OwnYarnMeasured): AsItLooks {
  const usual = USUAL[measured.kind ?? 'spun'];
  const filled: OwnYarnMeasured = {
    ...measured,
    squeeze: squeezeOf(measured, usual),
    hairiness: measured.hairiness ?? usual.hairiness,
    stiffness: measured.stiffness ?? usual.stiffness,
    lustre: measured.lustre ?? usual.lustre,
  };
  const from: Record<string, string> = {};
  const told = `${estimate}: usual for ${usual.words}`;
  if (filled.squeeze && !measured.squeeze) from.compressibility = told;
  if (filled.hairiness && !measured.hairiness) from.hairiness = told;
  if (filled.lustre && !measured.lustre) from.lustre = told;
  if (filled.stiffness && !measured.stiffness) from.bendingNmm2 = told;
  if (usual.make) from.make = told;
  const hair = measured.hairiness === undefined ? usual.hairLengthMm : undefined;
  if (hair) from.hairLengthMm = told;
  return { measured: filled, make: usual.make, hairLengthMm: hair, from };
}

/** Strands of a braid that cross on half its round, as of most cords of 16 carriers (from memory). */
const BRAID_ROUND = 8;

/** What a braided cord so thick shows. */
export function braidOf(widthMm: number): SurfaceMake {
  const strandMm = figures((Math.PI * widthMm) / BRAID_ROUND, 3);
  return { kind: 'braided', acrossMm: strandMm, alongMm: strandMm };
}
