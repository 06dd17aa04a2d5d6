import { GRIN_AZIMUTHS, GRIN_DEGREES, type GrinTable, grinDirection } from './grin.ts';

/** Grin-through at one turn, or at each block's worst. */
export interface GrinReading {
  /** By block: share of what shows there that belongs to threads the draft hides there, 0..1. */
  readonly share: Float32Array;
  /** By block, degrees from square-on at which that is. */
  readonly degrees: Float32Array;
  /** Of the cloth as a whole, at the turn (at the worst turn for the whole). */
  readonly mean: number;
  readonly meanDegrees: number;
}

/** At a turn, between the directions of the table; beyond its last as there. @param view unit, towards the eye, cloth axes */
export function grinAt(table: GrinTable, [x, y, z]: readonly [number, number, number]): GrinReading {
  const blocks = table.blocksUp * table.blocksAcross;
  const inclination = (Math.acos(Math.min(1, Math.abs(z))) * 180) / Math.PI;
  let ring = 0;
  while (ring < GRIN_DEGREES.length - 2 && inclination > GRIN_DEGREES[ring + 1]) ring++;
  const up = Math.min(1, (inclination - GRIN_DEGREES[ring]) / (GRIN_DEGREES[ring + 1] - GRIN_DEGREES[ring]));
  const turn = ((Math.atan2(y, x) / (2 * Math.PI)) * GRIN_AZIMUTHS + GRIN_AZIMUTHS) % GRIN_AZIMUTHS;
  const first = Math.floor(turn) % GRIN_AZIMUTHS;
  const along = turn - Math.floor(turn);
  const side = z < 0 ? 1 : 0;
  const share = new Float32Array(blocks);
  let hiddenInAll = 0;
  let shownInAll = 0;
  for (let block = 0; block < blocks; block++) {
    let hidden = 0;
    let shown = 0;
    for (let corner = 0; corner < 4; corner++) {
      const weight = (corner >> 1 ? up : 1 - up) * (corner & 1 ? along : 1 - along);
      const at = grinDirection(side, ring + (corner >> 1), first + (corner & 1)) * blocks + block;
      hidden += weight * table.hidden[at];
      shown += weight * table.shown[at];
    }
    share[block] = shown > 0 ? hidden / shown : 0;
    hiddenInAll += hidden;
    shownInAll += shown;
  }
  const mean = shownInAll > 0 ? hiddenInAll / shownInAll : 0;
  return { share, degrees: new Float32Array(blocks).fill(inclination), mean, meanDegrees: inclination };
}

/** The most over every turn of the table, about any line in the cloth; each block at its own. */
export function worstGrin(table: GrinTable, side: 'face' | 'back'): GrinReading {
  const blocks = table.blocksUp * table.blocksAcross;
  const share = new Float32Array(blocks);
  const degrees = new Float32Array(blocks);
  let mean = 0;
  let meanDegrees = 0;
  for (let ring = 0; ring < GRIN_DEGREES.length; ring++) {
    for (let azimuth = 0; azimuth < GRIN_AZIMUTHS; azimuth++) {
      const from = grinDirection(side === 'face' ? 0 : 1, ring, azimuth) * blocks;
      let hidden = 0;
      let shown = 0;
      for (let block = 0; block < blocks; block++) {
        const here = table.shown[from + block] > 0 ? table.hidden[from + block] / table.shown[from + block] : 0;
        if (here > share[block]) {
          share[block] = here;
          degrees[block] = GRIN_DEGREES[ring];
        }
        hidden += table.hidden[from + block];
        shown += table.shown[from + block];
      }
      if (shown > 0 && hidden / shown > mean) {
        mean = hidden / shown;
        meanDegrees = GRIN_DEGREES[ring];
      }
    }
  }
  return { share, degrees, mean, meanDegrees };
}

/** The block that shows most. */
export function worstBlock({ share }: GrinReading): number {
  return share.reduce((worst, value, block) => (value > share[worst] ? block : worst), 0);
}
