import { createDrawdown, type Drawdown, isWarpUp, setWarpUp } from './drawdown.ts';
import { complement, cycle, reverseEnds, reversePicks, tile, transpose } from './transformDrawdown.ts';

/** A rectangle of crossings, from 0, both included. */
export interface DraftArea {
  readonly fromEnd: number;
  readonly toEnd: number;
  readonly fromRow: number;
  readonly toRow: number;
}

/** The crossings of an area by themselves. */
export function cutArea(drawdown: Drawdown, area: DraftArea): Drawdown {
  const part = createDrawdown(area.toRow - area.fromRow + 1, area.toEnd - area.fromEnd + 1);
  for (let row = 0; row < part.rows; row++) {
    for (let end = 0; end < part.ends; end++) {
      if (isWarpUp(drawdown, area.fromRow + row, area.fromEnd + end)) setWarpUp(part, row, end, true);
    }
  }
  return part;
}

/** The drawdown with the area's crossings replaced by `part`, which is repeated or cut to its size. */
export function layArea(drawdown: Drawdown, area: DraftArea, part: Drawdown): Drawdown {
  const result: Drawdown = { ...drawdown, bits: drawdown.bits.slice() };
  for (let row = area.fromRow; row <= area.toRow; row++) {
    for (let end = area.fromEnd; end <= area.toEnd; end++) {
      const up = isWarpUp(part, (row - area.fromRow) % part.rows, (end - area.fromEnd) % part.ends);
      setWarpUp(result, row, end, up);
    }
  }
  return result;
}

export type AreaChange = 'mirrorAcross' | 'mirrorAlong' | 'turn' | 'slideAcross' | 'slideAlong' | 'swapFaces';

/**
 * What becomes of an area's crossings. Turned by a quarter to the left with its yarns: ends become picks, so over becomes
 * under; where the area is not square the turned part is repeated or cut to fit.
 */
export function changeArea(part: Drawdown, change: AreaChange): Drawdown {
  switch (change) {
    case 'mirrorAcross':
      return reverseEnds(part);
    case 'mirrorAlong':
      return reversePicks(part);
    case 'turn':
      return tile(complement(reverseEnds(transpose(part))), part.rows, part.ends);
    case 'slideAcross':
      return cycle(part, 0, part.ends - 1);
    case 'slideAlong':
      return cycle(part, part.rows - 1, 0);
    case 'swapFaces':
      return complement(part);
  }
}
