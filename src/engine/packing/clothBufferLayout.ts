/**
 * The one buffer layout shared by packer, TypeScript walk and shaders. Shader defines are generated from it, so that the
 * two sides cannot disagree.
 *
 * Node texel (RGB32UI, 12 bytes, one per distinct crossing and family):
 *   x  half2(height mm, slope)           y  half2(sideways offset mm, its slope)
 *   z  bytes: wrapStart, wrapEnd (signed, times wrapScaleMm / 127), width factor, height factor (times 1 / 100);
 *      a wrapStart of GONE_BYTE: the stretch to the thread's next node has been cut away
 * Thread texels (RGBA32F, three per end and per row):
 *   0  position mm, half contact width mm, half contact height mm, material
 *   1  first crossing, last crossing, strands, line (rows only)
 *   2  of a yarn that changes colour along itself: mm of yarn laid before place 0, mm of yarn to a mm of cloth (below 0
 *      where it runs against the thread's own sense), 0, 0
 * Line texel (RGBA32F): y mm, first row, row count, 0. Rows that lie side by side at one y share a line.
 * Bucket texel (RGBA32F): least and greatest cell that meets the bucket, positions of the two threads after the least.
 * Tile texels (RGBA32F, three per tile):
 *   0  bits (see TileBits), where its cells begin in the extra list, zMin mm, zMax mm (zMin > zMax: empty)
 *   1  how far any end, and any row, reaches from its own line here, hair included, mm; how far hair stands above and below
 *      the heights of 0, mm; 0
 *   2  how far the body of any end, and of any row, reaches from its own line here, mm; how far hair
 *      stands off that light looks at, mm (packHair.ts); 0
 * Extra list (RGBA32F): of each tile with extras, a texel a cell, row by row: first entry of those that reach it, their count;
 *   then the entries, an extra's number each.
 * Extra texels (RGBA32F, four per extra): a quadratic Bézier's control points in xyz (mm); w holds the half width mm,
 *   half height over half width, and owner (row * 2, or end * 2 + 1). The fourth: place along its thread at the first point, mm;
 *   1 where it runs on with the thread's own sense, −1 against; how far its hair stands off, mm; 1 where its
 *   thread goes on in another
 * Material texels (RGBA32F, a row of MATERIAL_TEXELS per yarn): packMaterials.ts. Behind the yarns' rows, of each that has
 *   hair, its hairs (hairTable.ts).
 * Scattering table (RGBA16F, 3-D): scatter/scatterLayout.ts.
 */

import { BEND_SHARE, FOOT_LOOKS, FOOT_STEPS, TIGHT_BEND, WRAP_SHARE } from '#engine/cloth/bend.ts';
import { OPTICS_TEXELS, scatterDefines } from '#engine/scatter/opticsLayout.ts';

/** Side of a page of node texels, a power of two; smaller repeats take smaller pages. */
export const PAGE_SIDE = 512;
/** Tables fold into rows of this many texels, a power of two, so that no side passes 4096. */
export const TABLE_WIDTH = 1024;
export const MAX_TEXTURE_SIDE = 4096;
/** Least layer count every WebGL2 device has (OpenGL ES 3.0, table 6.28). */
export const MAX_PAGES = 256;

export const NODE_WORDS = 3;
export const THREAD_TEXELS = 3;
export const TILE_TEXELS = 3;
export const EXTRA_TEXELS = 4;
export const MATERIAL_TEXELS = 256;
export const MATERIAL_HEADER_TEXELS = 10;
/** Where the hair's four texels begin in a material's row. */
export const HAIR_TEXEL = 2;
/** Where an open strip's three begin. */
export const MESH_TEXEL = 6;
/** What holds pile, and which strand hair is of. */
export const CORE_TEXEL = 9;
export const STRAND_TEXELS = 4 + OPTICS_TEXELS;
export const MAX_STRANDS = 14;
/** Faces of a thread: its strands, their backs, and what is stuck on. */
export const MAX_FACES = 2 * MAX_STRANDS;
/** Where the colours of yarns with several begin in a material's row. */
export const STOPS_TEXEL = MATERIAL_HEADER_TEXELS + MAX_FACES * STRAND_TEXELS;
export const MAX_STOPS = MATERIAL_TEXELS - STOPS_TEXEL;

export const WRAP_STEPS = 127;
/** −128 as a byte, which no wrap takes. */
export const GONE_BYTE = 128;
export const SECTION_STEPS = 100;

export const TILE_CELLS = 8;
/** Cells on either side in which a thread can lie and still cover a point: half width plus offset over the pitch. */
export const MAX_REACH = 3;
export const MAX_CELL_EXTRAS = 255;

/**
 * Tile bits: reach in ends (2), reach in lines (2), the same of bodies without hair (2 and 2), whether it has extras (1).
 */
export const TileBits = { reachLinesShift: 2, bodyEndsShift: 4, bodyLinesShift: 6, extrasShift: 8 } as const;

export const ThreadKind = { none: 0, warp: 1, weft: 2, extra: 3 } as const;
export type ThreadKind = (typeof ThreadKind)[keyof typeof ThreadKind];

/** Kind and index share 24 bits of the picture buffer. */
export const ID_INDEX_BITS = 22;

/** Cells a ray may cross: a slab 4 pitches thick at 89° from the normal, both ways. */
export const MAX_WALK_STEPS = 512;
/** Straight pieces that a turn or tail is cut into. */
export const EXTRA_PIECES = 6;
/** Loop bound over a cell's candidates: both families at full reach and their hair, and extras and theirs, piece by piece. */
export const MAX_CANDIDATES = 8 * MAX_REACH + (1 + EXTRA_PIECES) * MAX_CELL_EXTRAS;
/** Straight pieces a curve is cut into where the ray runs along it. */
export const TUBE_PIECES = 3;
export const NEWTON_STEPS = 6;
/** Stop when |F| is below this: F changes by 2 over a half width, so the point is within 1e-5 half widths. */
export const SURFACE_TOLERANCE = 2e-5;
/**
 * Once |F| is below this, the next step's point is taken without looking at it: a step's error falls with the square of the
 * one before, to about 1e-4 half widths.
 */
export const NEAR_ENOUGH = 0.02;
/** A ray that passes its nearest approach at more than this F passes the thread by. */
export const FAR_OFF = 0.3;
/**
 * Sine squared of the angle between ray and thread below which the linearised section is not trusted: there the section
 * turns more along the ray than the ray moves through it. Then the piece is looked through in SCAN_STEPS steps, half of them
 * to halve where it was entered.
 */
export const RUNS_ALONG = 0.25;
/** The same goes for threads steeper than this: tangents, both ways together. */
export const STEEP_THREAD = 1.2;
export const SCAN_STEPS = 12;
/** Segments overlap by this share of the pitch, so that rounding at a node never leaves a hole. */
export const SEGMENT_OVERLAP = 2e-3;
/**
 * Looks at such a thread along a ray, and over the section's greatest semi-axis: what a step is at least, towards it and where the ray
 * leaves it, and how far off the centre line surely nothing is met (nearest places are not quite).
 */
export const TIGHT_STEPS = 8;
export const TIGHT_LEAST = 0.02;
export const TIGHT_LEAVING = 0.25;
export const TIGHT_WIDER = 1.01;
/** As NEAR_ENOUGH: the foot moves along the curve as the ray goes on, which the linearised section leaves out. */
export const TIGHT_NEAR = 2e-3;
export const BINARY_SEARCH_STEPS = 16;
/** Lattices of hair on one yarn at most, each of one hair a cell; and cells looked at along a ray beside one segment. */
export const MAX_HAIR_LAYERS = 16;
/** Cells of a lattice round its thread at most. */
export const MOST_HAIR_SECTORS = 24;
export const MAX_HAIR_LOOKS = 128;
/** Threads of a family whose hair a ray to the light passes at most; beyond, it is above all hair or near the horizon. */
const HAIR_THREADS = 2 * MAX_REACH;
/** As a medium for light, hair ends at so many of the heights over which it thins out by e: all its depth stands within. */
export const MEDIUM_SCALES = 1.5;
/** Where pile leaves a twisted core along a helix: by so much more than its mean it stands there, and less between. */
export const RIDGE_DEPTH = 0.6;
/** Where a row tells how often ridges turn, a number near this one says how much more hair stands on one side (packHair.ts). */
export const SIDED = -100;
export const SIDED_BELOW = -50;
/** In place of how full the section is, the axis buffer's last byte says how high on a hair it was met, in this many steps. */
export const HAIR_STEPS = 15;
export const MAX_ROWS_ON_LINE = 64;
/** Leaf holds on what leans less than this from the press: cosine of about 53°, where the size still touches (estimate). */
export const LEAF_FACING = 0.6;
/** Fibres of less isotropy than this look for the room's light by their lobes (shaders/cloth/roomRay.glsl). */
export const LOBED_BELOW = 0.4;
/** Layers of a crumpled open strip. */
export const MAX_MESH_LAYERS = 12;

/** Names and values for `#define`, integers as integers. */
export function shaderConstants(): Record<string, string> {
  const whole = {
    PAGE_SIDE,
    PAGE_SHIFT: Math.log2(PAGE_SIDE),
    TABLE_WIDTH,
    TABLE_SHIFT: Math.log2(TABLE_WIDTH),
    THREAD_TEXELS,
    TILE_TEXELS,
    EXTRA_TEXELS,
    MATERIAL_TEXELS,
    MATERIAL_HEADER_TEXELS,
    STRAND_TEXELS,
    GONE_BYTE,
    TILE_CELLS,
    MAX_REACH,
    MAX_WALK_STEPS,
    MAX_CANDIDATES,
    TUBE_PIECES,
    NEWTON_STEPS,
    SCAN_STEPS,
    FOOT_LOOKS,
    FOOT_STEPS,
    TIGHT_STEPS,
    EXTRA_PIECES,
    BINARY_SEARCH_STEPS,
    MAX_HAIR_LOOKS,
    MOST_HAIR_SECTORS,
    HAIR_THREADS,
    HAIR_STEPS,
    HAIR_TEXEL,
    CORE_TEXEL,
    MESH_TEXEL,
    MAX_STOPS,
    MAX_MESH_LAYERS,
    MAX_ROWS_ON_LINE,
    ID_INDEX_BITS,
    TILE_REACH_LINES_SHIFT: TileBits.reachLinesShift,
    TILE_BODY_ENDS_SHIFT: TileBits.bodyEndsShift,
    TILE_BODY_LINES_SHIFT: TileBits.bodyLinesShift,
    TILE_EXTRAS_SHIFT: TileBits.extrasShift,
    KIND_NONE: ThreadKind.none,
    KIND_WARP: ThreadKind.warp,
    KIND_WEFT: ThreadKind.weft,
    KIND_EXTRA: ThreadKind.extra,
  };
  const real = {
    WRAP_STEPS,
    SECTION_STEPS,
    SURFACE_TOLERANCE,
    NEAR_ENOUGH,
    FAR_OFF,
    SEGMENT_OVERLAP,
    BEND_SHARE,
    TIGHT_BEND,
    WRAP_SHARE,
    LEAF_FACING,
    RUNS_ALONG,
    STEEP_THREAD,
    TIGHT_LEAST,
    TIGHT_LEAVING,
    TIGHT_WIDER,
    TIGHT_NEAR,
    RIDGE_DEPTH,
    SIDED,
    SIDED_BELOW,
    MEDIUM_SCALES,
    LOBED_BELOW,
  };
  const defines: Record<string, string> = { ...scatterDefines };
  for (const [name, value] of Object.entries(whole)) defines[name] = value.toFixed(0);
  for (const [name, value] of Object.entries(real)) defines[name] = value.toExponential();
  return defines;
}
