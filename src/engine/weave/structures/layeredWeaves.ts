import { DraftError, WHOLE } from '#engine/draft/draftError.ts';
import { type Drawdown, isWarpUp, setWarpUp } from '#engine/draft/drawdown.ts';
import { plainWeave, shiftedLine } from '#engine/weave/basicWeaves.ts';
import { blockDrawdown } from '#engine/weave/blocks.ts';
import { doubleCloth, type Layer } from '#engine/weave/compoundWeaves.ts';
import { choice, type Family, grid, line, type RuleValues, whole } from './ruleParams.ts';
import {
  checkRepeat,
  drawdownWhere,
  everyThread,
  inTurn,
  modulo,
  type Structure,
  type ThreadRole,
} from './structureTypes.ts';

const ORDERS: Readonly<Record<string, readonly Layer[]>> = {
  'one and one': ['face', 'back'],
  'two and one': ['face', 'face', 'back'],
  'two and two': ['face', 'face', 'back', 'back'],
};

const orderParam = (words: string) => choice(words, ...Object.keys(ORDERS));

const exchangedOrder = (order: readonly Layer[]): Layer[] => order.map((layer) => (layer === 'face' ? 'back' : 'face'));

function twillOf(values: RuleValues, key: string): Drawdown {
  return shiftedLine(values.marks(key).map(Number), 1);
}

/** A double cloth whose threads have the roles of their layers. */
function layered(face: Drawdown, back: Drawdown, ends: readonly Layer[], picks: readonly Layer[]): Structure {
  const drawdown = doubleCloth(face, back, ends, picks);
  return { drawdown, ends: inTurn(ends, drawdown.ends), picks: inTurn(picks, drawdown.rows), layers: 2 };
}

/**
 * Back ends are raised over a face pick where face warp floats on both sides cover the stitch (J. T. Taylor 1909, Cotton
 * Weaving and Designing, p. 199); each back end once a repeat, the places stepping on from end to end.
 */
function stitched(unstitched: Structure): Structure {
  const { drawdown, ends, picks } = unstitched;
  const up = (row: number, end: number) => isWarpUp(drawdown, modulo(row, drawdown.rows), modulo(end, drawdown.ends));
  const nextFace = (end: number, step: number) => {
    let at = end + step;
    while (ends[modulo(at, drawdown.ends)] !== 'face') at += step;
    return at;
  };
  const bits = drawdownWhere(drawdown.rows, drawdown.ends, up);
  let turn = 0;
  ends.forEach((role, end) => {
    if (role !== 'back') return;
    const covered = picks.flatMap((pick, row) =>
      pick === 'face' && up(row, nextFace(end, -1)) && up(row, nextFace(end, 1)) ? [row] : [],
    );
    if (covered.length === 0) {
      throw new DraftError(
        'nothing-there',
        WHOLE,
        'No two face ends beside each other float over one pick, so stitches would show; give a face line with over 2 or more.',
      );
    }
    setWarpUp(bits, covered[(turn++ * 3) % covered.length], end, true);
  });
  return { ...unstitched, drawdown: bits, layers: 1 };
}

/** Three plain cloths: every end lies over the picks of the cloths below its own. */
function triplePlain(): Structure {
  const order: readonly ThreadRole[] = ['face', 'middle', 'back'];
  const drawdown = drawdownWhere(6, 6, (row, end) => {
    const below = (row % 3) - (end % 3);
    return below === 0 ? (Math.floor(row / 3) + Math.floor(end / 3)) % 2 === 0 : below > 0;
  });
  return { drawdown, ends: inTurn(order, 6), picks: inTurn(order, 6), layers: 3 };
}

/**
 * Deflected double weave: groups of two sorts in turn each way. Ends and picks of one sort weave plain; those of unlike sort
 * pass over or under one another by the whole group, and change places at every second group.
 */
function deflectedDouble(ends: number, picks: number): Structure {
  const drawdown = drawdownWhere(4 * picks, 4 * ends, (row, end) => {
    const [across, along] = [Math.floor(end / ends), Math.floor(row / picks)];
    if (across % 2 === along % 2) return (row + end) % 2 === 0;
    const firstAbove = (Math.floor(across / 2) + Math.floor(along / 2)) % 2 === 0;
    return (across % 2 === 0) === firstAbove;
  });
  const groups = (count: number): ThreadRole[] => [...everyThread(count, 'dark'), ...everyThread(count, 'pale')];
  return { drawdown, ends: inTurn(groups(ends), 4 * ends), picks: inTurn(groups(picks), 4 * picks), layers: 1 };
}

export const layeredFamilies: readonly Family[] = [
  {
    rule: 'doublePlain',
    kind: 'double cloth',
    params: {
      order: orderParam('Face and back threads'),
      upper: choice('Uppermost', 'first threads', 'second threads'),
      weft: choice('Weft', 'one for each layer', 'round and round: tube', 'to and fro: double width'),
    },
    build: (values) => {
      const order = ORDERS[values.choice('order')];
      const layers = values.choice('upper') === 'first threads' ? order : exchangedOrder(order);
      const weft = values.choice('weft');
      if (weft === 'one for each layer') return layered(plainWeave(), plainWeave(), layers, layers);
      const picks: Layer[] = weft.endsWith('tube') ? ['face', 'back'] : ['face', 'back', 'back', 'face'];
      const woven = layered(plainWeave(), plainWeave(), layers, picks);
      return { ...woven, picks: everyThread(woven.drawdown.rows) };
    },
  },
  {
    rule: 'pockets',
    kind: 'double cloth',
    params: {
      plan: grid('Plan of blocks (1: second threads uppermost)', '10/01'),
      ends: whole('Ends of a block', 16, 4, 256),
      picks: whole('Picks of a block', 16, 4, 256),
    },
    build: (values) => {
      const plan = values.grid('plan');
      const order = ORDERS['one and one'];
      const other = exchangedOrder(order);
      const states = [
        layered(plainWeave(), plainWeave(), order, order),
        layered(plainWeave(), plainWeave(), other, other),
      ];
      const [ends, picks] = [values.even('ends'), values.even('picks')];
      checkRepeat(plan.length * picks, plan[0].length * ends);
      const drawdown = blockDrawdown(
        plan,
        states.map((state) => state.drawdown),
        ends,
        picks,
      );
      const sorts: readonly ThreadRole[] = ['dark', 'pale'];
      // Stripes of one state fall apart; where states meet, the cloths change places and hold each other.
      const layers = new Set(plan.flat()).size === 1 ? 2 : 1;
      return { drawdown, ends: inTurn(sorts, drawdown.ends), picks: inTurn(sorts, drawdown.rows), layers };
    },
  },
  {
    rule: 'doubleTwill',
    kind: 'double cloth',
    params: {
      face: line('2/2', 'Line of the face'),
      back: line('2/2', 'Line of the back'),
      order: orderParam('Face and back threads'),
    },
    build: (values) => {
      const order = ORDERS[values.choice('order')];
      return layered(twillOf(values, 'face'), twillOf(values, 'back'), order, order);
    },
  },
  {
    rule: 'stitchedDouble',
    kind: 'double cloth',
    params: {
      face: line('2/2', 'Line of the face'),
      back: line('2/2', 'Line of the back'),
      order: orderParam('Face and back threads'),
    },
    build: (values) => {
      const order = ORDERS[values.choice('order')];
      return stitched(layered(twillOf(values, 'face'), twillOf(values, 'back'), order, order));
    },
  },
  { rule: 'triplePlain', kind: 'double cloth', params: {}, build: triplePlain },
  {
    rule: 'deflectedDouble',
    kind: 'double cloth',
    params: { ends: whole('Ends of a group', 4, 2, 16), picks: whole('Picks of a group', 4, 2, 16) },
    build: (values) => deflectedDouble(values.even('ends'), values.even('picks')),
  },
];
