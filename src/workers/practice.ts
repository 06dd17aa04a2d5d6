import type { Drawdown } from '#engine/draft/drawdown.ts';
import { tile } from '#engine/draft/transformDrawdown.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { checkCloth } from '#engine/weave/checks/checkCloth.ts';
import type { CheckedCloth, Finding } from '#engine/weave/checks/checkTypes.ts';
import { doublePlain } from '#engine/weave/compoundWeaves.ts';
import { drawdownWhere } from '#engine/weave/structures/structureTypes.ts';

/** Rounds after which the checks run as fast as they will (measured: two to three times as fast as in the first). */
export const PRACTICE_ROUNDS = 20;
const ROWS = 128;
const ENDS = 160;
/** Short enough for floats of every cloth here to be told of. */
const LIMIT_MM = 3;

function piece(drawdown: Drawdown): CheckedCloth {
  const along = (count: number, value: (k: number) => number) =>
    Float64Array.from({ length: count }, (_, k) => value(k));
  return {
    drawdown,
    yarns: [{ pile: false, diameterMm: 0.5 }],
    endYarn: new Uint16Array(ENDS),
    rowYarn: new Uint16Array(ROWS),
    rowFirst: new Uint32Array(ROWS),
    rowLast: new Uint32Array(ROWS).fill(ENDS - 1),
    rowEntersRight: along(ROWS, (row) => row % 2),
    rowTurns: new Uint8Array(ROWS).fill(1),
    endXMm: along(ENDS, (end) => end),
    rowYMm: along(ROWS, (row) => row),
    onLoom: { widthMm: ENDS, lengthMm: ROWS },
  };
}

/** A layered cloth in pockets, and one whose every pick differs: between them they go through all checks. */
function practiceCloths(): CheckedCloth[] {
  const [plain, exchanged] = [
    doublePlain(['face', 'back'], ['face', 'back']),
    doublePlain(['back', 'face'], ['back', 'face']),
  ];
  const plan = [
    [0, 1],
    [1, 0],
  ];
  const pockets = blockDrawdown(plan, [plain, exchanged], 40, 32);
  return [
    piece(tile(pockets, ROWS, ENDS)),
    piece(drawdownWhere(ROWS, ENDS, (row, end) => ((row * row + 7 * ((end * 5) % 24) * (row % 13)) >> 2) % 2 === 0)),
  ];
}

/** One round of checks on small cloths, so that the browser has compiled them by the time that a large one is asked after. */
export function practise(): Finding[] {
  return practiceCloths().flatMap((cloth) => checkCloth(cloth, LIMIT_MM));
}
