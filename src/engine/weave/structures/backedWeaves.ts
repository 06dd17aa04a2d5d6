import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { shiftedLine } from '#engine/weave/basicWeaves.ts';
import { choice, type Family, grid, line, whole } from './ruleParams.ts';
import {
  drawdownWhere,
  everyThread,
  inTurn,
  onItsSide,
  pointPlace,
  type Structure,
  type ThreadRole,
} from './structureTypes.ts';

/**
 * A second weft lies behind: after each face pick a back pick, under every end but one, which comes down to bind it where
 * the face picks on both sides cover that end (common practice: a back stitch is hidden between face weft floats).
 */
function weftBacked(face: Drawdown): Structure {
  const { rows, ends } = face;
  const bindsAt = Array.from({ length: rows }, (_, row) => {
    const covered = Array.from({ length: ends }, (_, end) => end).filter(
      (end) => !isWarpUp(face, row, end) && !isWarpUp(face, (row + 1) % rows, end),
    );
    if (covered.length > 0) return covered[Math.floor((covered.length - 1) / 2)];
    throw new DraftError(
      'nothing-there',
      WHOLE,
      'No end stays under two face picks in turn, so bindings would show; give a face line with under 2 or more.',
    );
  });
  const drawdown = drawdownWhere(2 * rows, ends, (row, end) =>
    row % 2 === 0 ? isWarpUp(face, row / 2, end) : end !== bindsAt[(row - 1) / 2],
  );
  return { drawdown, ends: everyThread(ends, 'face'), picks: inTurn(['face', 'back'], 2 * rows), layers: 1 };
}

/**
 * Matelassé: a fine plain face, a back of half as many ends, wadding picks between. Along lines from point to point each
 * way back ends are raised over a face pick; there the face is drawn down, and between the lines it cushions. Two shafts carry the face, and one
 * each place of the point draw the back, whose ends at odd and even places weave plain by themselves.
 */
function matelasse(places: number, padded: boolean, perPlace: number): Structure {
  const units = 2 * (places - 1);
  const unitPicks: readonly ThreadRole[] = padded ? ['face', 'face', 'wadding', 'back'] : ['face', 'face', 'back'];
  const unitEnds: readonly ThreadRole[] = ['face', 'face', 'back'];
  const rows = units * perPlace * unitPicks.length;
  const drawdown = drawdownWhere(rows, units * unitEnds.length, (row, end) => {
    const unitRow = Math.floor(row / unitPicks.length);
    const unitEnd = Math.floor(end / unitEnds.length);
    const [pick, thread] = [unitPicks[row % unitPicks.length], unitEnds[end % unitEnds.length]];
    if (thread === 'face') return pick !== 'face' || row % unitPicks.length === end % unitEnds.length;
    if (pick === 'back') return (unitRow + unitEnd) % 2 === 0;
    if (pick === 'wadding' || row % unitPicks.length !== 0 || unitRow % perPlace !== 0) return false;
    // The lines cross the point draw both ways, so that they close round a cushion.
    return pointPlace(unitEnd, places) === pointPlace(unitRow / perPlace, places);
  });
  return { drawdown, ends: inTurn(unitEnds, drawdown.ends), picks: inTurn(unitPicks, rows), layers: 1 };
}

/**
 * A plain ground and after each of its picks one of an extra weft, which lies over the ends of the figure and elsewhere
 * behind, bound by an end at every `tie` ends of the figure, and of the back where it is tied there too.
 */
function extraWeft(
  plan: readonly (readonly number[])[],
  ends: number,
  picks: number,
  tie: number,
  tiedBehind: boolean,
): Structure {
  const rows: { cells: readonly number[] | undefined; at: number }[] = [];
  let grounds = 0;
  for (const cells of plan) {
    for (let k = 0; k < picks; k++) {
      rows.push({ cells: undefined, at: grounds++ });
      if (cells.includes(1)) rows.push({ cells, at: grounds });
    }
  }
  const drawdown = drawdownWhere(rows.length, plan[0].length * ends, (row, end) => {
    const { cells, at } = rows[row];
    if (cells === undefined) return (at + end) % 2 === 0;
    // Ties stand in plain order, so that they lie beside an end that the ground picks before or after let down.
    const tied = (end + (at % 2) * Math.floor(tie / 2)) % tie === 0;
    return cells[Math.floor(end / ends)] === 1 ? tied : !(tiedBehind && tied);
  });
  const roles = rows.map(({ cells }): ThreadRole => (cells ? 'pattern' : 'ground'));
  return { drawdown, ends: everyThread(drawdown.ends, 'ground'), picks: roles, layers: 1 };
}

const extraParams = {
  plan: grid('Figure', '010/111/010'),
  ends: whole('Ground threads across a square', 4, 2, 32),
  picks: whole('Ground threads along a square', 4, 2, 32),
  tie: whole('Tied every', 4, 2, 16),
  behind: choice('Behind', 'loose', 'tied'),
};

export const backedFamilies: readonly Family[] = [
  {
    rule: 'backed',
    kind: 'backed cloth',
    params: { face: line('1/3', 'Line of the face'), by: choice('Backed by', 'weft', 'warp') },
    build: (values) => {
      const marks = values.marks('face');
      const byWarp = values.choice('by') === 'warp';
      const turned = marks.map((up) => Number(byWarp ? !up : up));
      const backed = weftBacked(shiftedLine(turned, 1));
      return byWarp ? onItsSide(backed) : backed;
    },
  },
  {
    rule: 'matelasse',
    kind: 'matelassé',
    params: {
      places: whole('Places of the point draw', 6, 2, 22),
      units: whole('Units of picks at each place', 1, 1, 8),
      wadding: choice('Wadding', 'yes', 'no'),
    },
    build: (values) => matelasse(values.whole('places'), values.choice('wadding') === 'yes', values.whole('units')),
  },
  {
    rule: 'extraWeft',
    kind: 'extra threads',
    params: extraParams,
    build: (values) =>
      extraWeft(
        values.grid('plan'),
        values.even('ends'),
        values.even('picks'),
        values.even('tie'),
        values.choice('behind') === 'tied',
      ),
  },
  {
    rule: 'extraWarp',
    kind: 'extra threads',
    params: extraParams,
    build: (values) =>
      onItsSide(
        extraWeft(
          values.grid('plan'),
          values.even('ends'),
          values.even('picks'),
          values.even('tie'),
          values.choice('behind') === 'tied',
        ),
      ),
  },
];
