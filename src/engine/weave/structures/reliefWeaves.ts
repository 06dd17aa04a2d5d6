import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import { satin } from '#engine/weave/basicWeaves.ts';
import { type Family, grid, whole } from './ruleParams.ts';
import {
  drawdownWhere,
  everyThread,
  inTurn,
  pointPlace,
  type Structure,
  simple,
  type ThreadRole,
} from './structureTypes.ts';

/**
 * Waffle on a point draw both ways: the point's line, and within one half of the diamonds warp floats; the other half is
 * left to the weft. On four shafts this is the tie-up 1, 2, 1+3, 1+2+4 of the handbooks (from memory), begun elsewhere.
 */
function waffle(shafts: number): Structure {
  const size = 2 * (shafts - 1);
  return simple(
    drawdownWhere(size, size, (row, end) => {
      const above = pointPlace(end, shafts) - pointPlace(row, shafts);
      return above === 0 || above >= 2;
    }),
  );
}

/** Blocks that weave plain beside blocks whose picks lie behind, between pairs of thick plain picks. */
function honeycomb(ends: number, picks: number): Structure {
  const band = picks + 2;
  const drawdown = drawdownWhere(2 * band, 2 * ends, (row, end) => {
    const weaving = Math.floor(row / band) === Math.floor(end / ends);
    return row % band >= picks || weaving ? (row + end) % 2 === 0 : true;
  });
  const roles: ThreadRole[] = [...everyThread(picks, 'ground'), ...everyThread(2, 'outline')];
  return { drawdown, ends: everyThread(2 * ends, 'ground'), picks: inTurn(roles, 2 * band), layers: 1 };
}

/** Squares of mock leno and their opposites: the group's outer threads bind, its inner ones float and draw together. */
function mockLeno(size: number): Structure {
  const outer = (k: number) => (size % 2 === 1 ? k % 2 === 0 : k === 0 || k === size - 1);
  return simple(
    drawdownWhere(2 * size, 2 * size, (row, end) => {
      const inSquare = !outer(row % size) || outer(end % size);
      return inSquare === (row < size === end < size);
    }),
  );
}

/**
 * Bedford cord: two picks weave the face of every other cord and lie behind the rest, two the others; a pair of cutting
 * ends between cords weaves plain; wadding ends lie between the face and the picks behind it.
 */
function bedfordCord(face: number, wadding: number): Structure {
  const after = Array.from({ length: wadding }, (_, k) => Math.round(((k + 1) * face) / (wadding + 1)));
  const cord: { role: ThreadRole; place: number }[] = [
    { role: 'cutting', place: 0 },
    { role: 'cutting', place: 1 },
  ];
  for (let k = 0; k < face; k++) {
    for (const at of after) if (at === k) cord.push({ role: 'wadding', place: k });
    cord.push({ role: 'face', place: k });
  }
  const drawdown = drawdownWhere(4, 2 * cord.length, (row, end) => {
    const { role, place } = cord[end % cord.length];
    const behind = Math.floor(row / 2) !== Math.floor(end / cord.length);
    if (role === 'cutting') return (row + place) % 2 === 0;
    if (role === 'wadding') return behind;
    return behind || (row + place) % 2 === 0;
  });
  const roles = cord.map(({ role }) => role);
  return { drawdown, ends: [...roles, ...roles], picks: everyThread(4), layers: 1 };
}

export const reliefFamilies: readonly Family[] = [
  {
    rule: 'crepe',
    kind: 'crepe',
    params: { ends: whole('Ends', 8, 8, 24), move: whole('Move of the altered crossings', 3, 2, 22) },
    build: (values) => {
      const ends = values.even('ends');
      const altered = satin(ends, values.whole('move'), 'weft');
      return simple(drawdownWhere(ends, ends, (row, end) => ((row + end) % 2 === 0) !== isWarpUp(altered, row, end)));
    },
  },
  {
    rule: 'turnedCrepe',
    kind: 'crepe',
    params: { motif: grid('Motif, to be turned four times', '110/101/010') },
    build: (values) => {
      const motif = values.grid('motif');
      const m = motif.length;
      if (motif[0].length !== m) {
        throw new DraftError(
          'sizes-do-not-fit',
          WHOLE,
          `The motif has ${m} rows of ${motif[0].length}; give as many rows as ends.`,
        );
      }
      return simple(
        drawdownWhere(2 * m, 2 * m, (row, end) => {
          const [r, e] = [row % m, end % m];
          if (row < m) return (end < m ? motif[r][e] : motif[e][m - 1 - r]) === 1;
          return (end < m ? motif[m - 1 - e][r] : motif[m - 1 - r][m - 1 - e]) === 1;
        }),
      );
    },
  },
  {
    rule: 'waffle',
    kind: 'waffle and honeycomb',
    params: { shafts: whole('Shafts of the point', 5, 4, 12) },
    build: (values) => waffle(values.whole('shafts')),
  },
  {
    rule: 'honeycomb',
    kind: 'waffle and honeycomb',
    params: { ends: whole('Ends of a cell', 8, 4, 32), picks: whole('Picks of a cell', 8, 2, 32) },
    build: (values) => honeycomb(values.even('ends'), values.even('picks')),
  },
  {
    rule: 'mockLeno',
    kind: 'mock leno',
    params: { size: whole('Threads of a group', 3, 3, 7) },
    build: (values) => mockLeno(values.whole('size')),
  },
  {
    rule: 'bedfordCord',
    kind: 'ribs and cords',
    params: { face: whole('Face ends of a cord', 8, 4, 32), wadding: whole('Wadding ends of a cord', 2, 0, 6) },
    build: (values) => bedfordCord(values.even('face'), values.whole('wadding')),
  },
];
