/**
 * Layout of the scattering tables, shared with `shaders/scatter/table.glsl`.
 *
 * One 3-D texture, RGBA, `TABLE_NODES` × `TABLE_NODES` × (`TABLE_LEVELS` · blocks) texels, filtered linearly (half floats
 * suffice: scale factors lie between 0.1 and 10). x fastest, then y, then z; block b holds z = b·TABLE_LEVELS …
 *
 * Fibre block: x is the inclination θ to the plane square to the fibre, y the azimuth φ from the bed's normal about the
 * fibre, each at 1 − sqrt(cosine) = k/(TABLE_NODES − 1); z the standard deviation of the fibres' tilt, at
 *   MOST_TILT_RAD (k/(TABLE_LEVELS − 1))², so that narrow lobes, which change first, have levels close together.
 *   r: scale of the surface lobe (a function of θ and z only)   g: scale of the volume lobe
 *   b: E_s, share of light from that direction that the surface lobe returns
 *   a: mean cosine to the normal of the light that the surface lobe returns
 * Facet block: x is the incidence, the same way; y the roughness, sqrt(α) = k/(TABLE_NODES − 1); all z alike.
 *   r: scale of the facet lobe   g: share returned by a clear sheet of the block's index   b: by its front face   a: 0
 */
export const TABLE_NODES = 16;
export const TABLE_LEVELS = 12;
export const TABLE_CHANNELS = 4;
/** Fibres spread over all slopes up to 75° either way have this standard deviation. */
export const MOST_TILT_RAD = Math.PI / 4;
export const LAYER_TEXELS = TABLE_NODES * TABLE_NODES;
export const BLOCK_FLOATS = TABLE_LEVELS * LAYER_TEXELS * TABLE_CHANNELS;
/** WebGL 2 promises 256 layers. */
export const MOST_BLOCKS = Math.floor(256 / TABLE_LEVELS);

/** Cosine of the k-th node. The last stands just off the horizon, where the integrands still have values. */
export function nodeCosine(k: number): number {
  const u = 1 - k / (TABLE_NODES - 1);
  return Math.max(1e-3, u * u);
}

/** Place among the nodes, 0 .. TABLE_NODES − 1, of a cosine. */
export function nodePlace(cosine: number): number {
  return (1 - Math.sqrt(Math.min(1, Math.max(0, cosine)))) * (TABLE_NODES - 1);
}

/** Roughness of the k-th row of a facet block; smooth facets are all but a mirror. */
export function nodeRoughness(k: number): number {
  return Math.max(1e-3, (k / (TABLE_NODES - 1)) ** 2);
}

/** Place among the rows, 0 .. TABLE_NODES − 1, of a roughness. */
export function roughnessPlace(alpha: number): number {
  return Math.sqrt(Math.min(1, Math.max(0, alpha))) * (TABLE_NODES - 1);
}

/** Standard deviation of tilt at the k-th level, rad. */
export function levelTilt(k: number): number {
  return MOST_TILT_RAD * (k / (TABLE_LEVELS - 1)) ** 2;
}

/** Place among the levels, 0 .. TABLE_LEVELS − 1, of a standard deviation of tilt. */
export function levelPlace(tiltRad: number): number {
  return (TABLE_LEVELS - 1) * Math.sqrt(Math.min(1, Math.max(0, tiltRad / MOST_TILT_RAD)));
}

/** All blocks of a cloth. */
export interface ScatterTable {
  readonly data: Float32Array;
  readonly blocks: number;
}

/** What the table says of a direction; channels as above. */
export interface TableEntry {
  r: number;
  g: number;
  b: number;
  a: number;
}

/**
 * Trilinear look-up.
 * @param x, y places among the nodes, 0 .. TABLE_NODES − 1
 * @param z place among the block's levels, clamped
 */
export function lookUp(
  out: TableEntry,
  table: ScatterTable,
  block: number,
  x: number,
  y: number,
  z: number,
): TableEntry {
  const level = Math.min(TABLE_LEVELS - 1, Math.max(0, z));
  const x0 = Math.min(TABLE_NODES - 2, Math.floor(x));
  const y0 = Math.min(TABLE_NODES - 2, Math.floor(y));
  const z0 = Math.min(TABLE_LEVELS - 2, Math.floor(level));
  out.r = 0;
  out.g = 0;
  out.b = 0;
  out.a = 0;
  for (let corner = 0; corner < 8; corner++) {
    const dx = corner & 1;
    const dy = (corner >> 1) & 1;
    const dz = corner >> 2;
    const weight = (dx ? x - x0 : 1 - x + x0) * (dy ? y - y0 : 1 - y + y0) * (dz ? level - z0 : 1 - level + z0);
    const at = (((block * TABLE_LEVELS + z0 + dz) * TABLE_NODES + y0 + dy) * TABLE_NODES + x0 + dx) * TABLE_CHANNELS;
    out.r += weight * table.data[at];
    out.g += weight * table.data[at + 1];
    out.b += weight * table.data[at + 2];
    out.a += weight * table.data[at + 3];
  }
  return out;
}
