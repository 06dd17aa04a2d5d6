import type { NewtonSquareMillimetres } from '#engine/units/units.ts';
import type { YarnBody } from './yarnTypes.ts';

/** Of what a yarn's fibres push back with, the share that finishing has left them, 1 .. 0: all of it where nothing is set. */
const unset = ({ setShare = 0 }: YarnBody): number => 1 - setShare;

/**
 * Stiffness, N mm², with which a yarn holds the bends that it has in the cloth: its shape at rest has the share s of their
 * curvature κ, so its moment is B(κ − sκ) = (1 − s)Bκ. Where threads come to lie while set comes about this stands for B (a
 * relaxed modulus: linear viscoelasticity); a further bend, as of cloth over an edge, meets the whole of B.
 */
export const bendingInPlace = (body: YarnBody): NewtonSquareMillimetres => unset(body) * body.bendingNmm2;

/** The same of a pressed section, N: what presses back there are bends of fibres too (van Wyk), set with the others. */
export const contactStiffnessInPlaceN = (body: YarnBody): number => unset(body) * body.contactStiffnessN;
