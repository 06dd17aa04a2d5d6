import type { HairThreads } from '#engine/packing/hairThreads.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';

/** What a cloth may ask of the programs that draw it, each a bit of a set. */
export const Feature = {
  /** Threads leave their own lines sideways: a tenth more of each frame. */
  sideways: 1,
  hair: 2,
  /** Open threads. */
  mesh: 4,
  /** Threads bend more tightly than they are thick: half as much again of each frame. */
  tight: 8,
  clear: 16,
  /** Faces look for the room's light otherwise than by the cosine: a third more of its rays. */
  lobed: 32,
  /** Some hair is of thick strands, or pile: 0.4 ms of each frame. */
  strands: 64,
  /** Film is ruled with a grating: half a millisecond of each frame. */
  ruled: 128,
  /** Film, wire, clear stuff or leaf. */
  facets: 256,
  /** Strips and cords show what they are made of, or their folds. */
  relief: 512,
} as const;

export const EVERY_FEATURE = Object.values(Feature).reduce((set, bit) => set | bit, 0);

/**
 * Whether threads are found by one program, and which way they face is told by another: of nets and of tight bends each is much to
 * compile, and both together are drawn more slowly than one after the other. Of plain threads one is faster, by a hundredth.
 */
export function surfacesApart(features: number): boolean {
  return (features & (Feature.mesh | Feature.tight)) !== 0;
}

/**
 * Whether hair is shaded by one program, and what it stands on by another: with all that film, strips and cords ask for, both together
 * take a quarter longer to compile. Without that one program is faster, by half a millisecond of a frame.
 */
export function hairShadedApart(features: number): boolean {
  return hasAll(features, Feature.hair | Feature.facets | Feature.relief);
}

/** @param hairs of that cloth; null where it has none */
export function featuresOf(cloth: PackedCloth, hairs: HairThreads | null): number {
  const asked: readonly (readonly [number, boolean])[] = [
    [Feature.sideways, cloth.sideways],
    [Feature.hair, cloth.hairy],
    [Feature.mesh, cloth.meshed],
    [Feature.tight, cloth.tight],
    [Feature.clear, cloth.clear],
    [Feature.lobed, cloth.lobed],
    [Feature.ruled, cloth.ruled],
    [Feature.facets, cloth.facets],
    [Feature.relief, cloth.relief],
    [Feature.strands, hairs?.groups.some(({ strand, pile }) => strand || pile) === true],
  ];
  return asked.reduce((set, [bit, is]) => (is ? set | bit : set), 0);
}

export function hasAll(set: number, features: number): boolean {
  return (set & features) === features;
}
