import type { YarnHair } from '#engine/yarn/hair.ts';
import type { FaceMaterial, MeshMaterial, StrandMaterial } from './strandMaterial.ts';

/** What the picture needs of a thread beyond its body; parallel to `ClothProblem.yarns`. An ordinary yarn has one strand. */
export interface YarnMaterial {
  readonly strands: readonly StrandMaterial[];
  /** What stands off the thread's body; left out where nothing does. */
  readonly hair?: YarnHair;
  /** Colour and light of that; the first strand's by default. */
  readonly hairFace?: FaceMaterial;
  /** What holds its pile. */
  readonly core?: FaceMaterial;
  /** Where the thread is an open strip. */
  readonly mesh?: MeshMaterial;
}

/** Axis-aligned box (mm) that holds every drawn surface. */
export interface ClothBounds {
  readonly min: readonly [number, number, number];
  readonly max: readonly [number, number, number];
}

/** Position -> bucket: floor((position - startMm) * perMm), clamped to 0 .. count - 1; `offset` texels into the table. */
export interface BucketIndex {
  readonly startMm: number;
  readonly perMm: number;
  readonly count: number;
  readonly offset: number;
}

/** Metal leaf on a side of the cloth. */
export interface LaidLeaf {
  /** Of the material table. */
  readonly row: number;
  /** It holds from here on outwards, mm; beyond all of the cloth where there is nothing for it to hold on. */
  readonly heightMm: number;
  /** Of what is seen of the side square on, the share that it covers. */
  readonly share: number;
  /** How far below the highest place it goes, mm. */
  readonly depthMm: number;
}

/** GPU-ready arrays; see clothBufferLayout.ts. Tables are whole rows of TABLE_WIDTH RGBA texels. */
export interface PackedCloth {
  readonly ends: number;
  readonly rows: number;
  readonly lines: number;
  readonly periodEnds: number;
  readonly periodRows: number;
  readonly pageWidth: number;
  readonly pageHeight: number;
  readonly pagesAcross: number;
  readonly pages: number;
  readonly warpNodes: Uint32Array;
  readonly weftNodes: Uint32Array;
  readonly wrapScaleMm: number;
  readonly endTable: Float32Array;
  readonly rowTable: Float32Array;
  readonly lineTable: Float32Array;
  /** True where some line holds more than one row; else line index and row index agree. */
  readonly sideBySide: boolean;
  /** True where some thread leaves its own line sideways. */
  readonly sideways: boolean;
  /** True where some thread has hair. */
  readonly hairy: boolean;
  /** True where some thread is open. */
  readonly meshed: boolean;
  /** True where some thread bends about as tightly as it is thick, or more (walk/tubeSegment.ts). */
  readonly tight: boolean;
  /** True where some thread is seen through: clear line and film. */
  readonly clear: boolean;
  /** True where some face looks for the room's light otherwise than by the cosine: film, wire and lustrous fibres. */
  readonly lobed: boolean;
  /** True where some film is ruled with a grating. */
  readonly ruled: boolean;
  /** True where some face is film, wire or clear stuff, or leaf is laid. */
  readonly facets: boolean;
  /** True where some strip or cord shows what it is made of, or its folds. */
  readonly relief: boolean;
  /** True where some row does not run from the first end to the last. */
  readonly partialRows: boolean;
  /** True where threads have been cut away after the loom. */
  readonly cut: boolean;
  readonly bucketTable: Float32Array;
  readonly endBuckets: BucketIndex;
  readonly lineBuckets: BucketIndex;
  readonly tilesAcross: number;
  readonly tilesUp: number;
  readonly tileTable: Float32Array;
  readonly extras: number;
  readonly extraTable: Float32Array;
  /** Which extras reach which cells (clothBufferLayout.ts). */
  readonly extraList: Float32Array;
  readonly materials: number;
  readonly materialTable: Float32Array;
  readonly scatterTable: Uint16Array;
  readonly scatterBlocks: number;
  readonly leaf?: { readonly face?: LaidLeaf; readonly back?: LaidLeaf };
  readonly bounds: ClothBounds;
  /** Things drawn other than asked for, in words: a reach beyond what the walk looks at, for instance. */
  readonly warnings: readonly string[];
}

/** An error in what was handed to the packer: what, where, and what to do. */
export class PackingError extends Error {
  override readonly name = 'PackingError';
}
