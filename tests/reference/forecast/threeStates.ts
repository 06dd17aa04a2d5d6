import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { settleStates } from '#engine/cloth/states/clothStates.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';
import { presetYarn } from './cloths.ts';

/** One cloth of preset yarns in its three states. */
export interface StatesRow {
  readonly name: string;
  readonly states: Readonly<Record<ClothState, Readings>>;
  /** Of the odd weft: length that the finished cloth does not take up, as a share. */
  readonly standsProud: number;
}

export const STATES = ['onLoom', 'offLoom', 'finished'] as const;
const ground = presetYarn('cotton-10-2');
/** Every so many picks one is of the odd weft. */
const EVERY = 6;

const cloth = (odd: YarnBody | undefined, firmness: number): ClothProblem =>
  clothProblem({
    weave: plainWeave(),
    rows: 60,
    ends: 48,
    endsPerCm: 24 / 2.54,
    warp: [ground],
    weft: odd ? [ground, ground, ground, ground, ground, odd] : [ground],
    endTensionN: 0.005 * ground.tex,
    firmness,
  });

function rowOf(name: string, problem: ClothProblem): StatesRow {
  const read = (state: ClothState): Readings =>
    finish(forecastCloth(problem, 'preview', {}, { state, treatment: 'handWashed' })).readings;
  const states = finish(
    settleStates(problem, rowPositions(problem, false).rowYMm, { treatment: 'handWashed', windows: 1 }),
  );
  return {
    name,
    states: { onLoom: read('onLoom'), offLoom: read('offLoom'), finished: read('finished') },
    standsProud: states.finished.weftOver[EVERY - 1],
  };
}

export interface StatesRows {
  readonly loose: StatesRow;
  readonly medium: StatesRow;
  readonly firm: StatesRow;
  readonly film: StatesRow;
  readonly wire: StatesRow;
  readonly stem: StatesRow;
  readonly cord: StatesRow;
  readonly strip: StatesRow;
  readonly fibre: StatesRow;
  readonly elastic: StatesRow;
}

/** Plain 10/2 cotton at three beats, and at the middle one with every sixth pick odd. */
export function statesRows(): StatesRows {
  const odd = (id: string, words: string) => rowOf(words, cloth(presetYarn(id), 0.6));
  return {
    loose: rowOf('loose beat', cloth(undefined, 0.25)),
    medium: rowOf('medium beat', cloth(undefined, 0.6)),
    firm: rowOf('firm beat', cloth(undefined, 0.95)),
    film: odd('holo-film-strip-3x50', 'metallised film, 3 mm'),
    wire: odd('wire-copper-0.2', 'copper wire'),
    stem: odd('chenille-stem-6', 'chenille stem'),
    cord: odd('cotton-cord-4', 'cotton cord'),
    strip: odd('cloth-strip-10', 'strip of cloth'),
    fibre: odd('loose-fibre-inlay', 'loose fibre'),
    elastic: odd('elastane-covered-156', 'elastic, laid stretched'),
  };
}

export interface Defence {
  readonly rule: string;
  readonly why: string;
  readonly holds: boolean;
}

/** What practice says of these cloths (common practice), why the model should agree, and whether it does. */
export function defences(rows: StatesRows): Defence[] {
  const { loose, medium, firm, film, wire, stem, cord, elastic } = rows;
  const all = Object.values(rows) as StatesRow[];
  const ascending = (values: readonly number[]) => values.every((value, k) => k === 0 || value > values[k - 1]);
  const beats = [loose, medium, firm];
  const width = (row: StatesRow, state: ClothState) => row.states[state].widthMm.value;
  const length = (row: StatesRow, state: ClothState) => row.states[state].lengthMm.value;
  const lost = (row: StatesRow, of: typeof width) => 1 - of(row, 'finished') / of(row, 'onLoom');
  return [
    {
      rule: 'A firmer beat packs more picks and makes a heavier cloth, in every state',
      why: 'each pick is driven against a resistance that grows as the space closes',
      holds: STATES.every((state) =>
        [
          beats.map((row) => row.states[state].picksPerCm.value),
          beats.map((row) => row.states[state].weightGPerM2.value),
        ].every(ascending),
      ),
    },
    {
      rule: 'A firmer beat makes a thicker cloth on the loom',
      why: 'not in balanced plain: under tension the warp lies nearly straight and the weft over and under it, two wefts and a warp thick; closer picks bend the warp, and cloth is least thick where both bend alike (F. T. Peirce 1937)',
      holds: ascending(beats.map((row) => row.states.onLoom.thicknessMm.value)),
    },
    {
      rule: 'A firmer beat draws in more at the selvedges',
      why: 'each pick must bend more steeply over the ends, from one length of weft',
      holds: ascending(beats.map((row) => -width(row, 'onLoom'))),
    },
    {
      rule: 'Off the loom every cloth gets shorter, and shorter in the wash; none is wider than at the fell in the end',
      why: 'warp takes back its stretch and crimp as tension goes, which lets straight wefts out a little; then yarn shortens and swells',
      holds: all.every(
        (row) =>
          length(row, 'onLoom') > length(row, 'offLoom') &&
          length(row, 'offLoom') > length(row, 'finished') &&
          width(row, 'finished') < 1.001 * width(row, 'onLoom'),
      ),
    },
    {
      rule: 'Washed cloth is thicker and heavier for its area than on the loom',
      why: 'the same yarn on less area, swollen, with its crimp set',
      holds: all.every(({ states: { onLoom, finished } }) => {
        return (
          finished.thicknessMm.value > onLoom.thicknessMm.value &&
          finished.weightGPerM2.value > onLoom.weightGPerM2.value
        );
      }),
    },
    {
      rule: 'Loose cloth loses more of its length in the wash than firm cloth',
      why: 'between open picks the warp does most of the bending, and its crimp grows most as threads swell; real loose cloth felts and shifts besides',
      holds: lost(loose, length) > lost(firm, length),
    },
    {
      rule: 'Metallised picks stand proud after washing, by more than on cotton alone',
      why: 'film keeps its length while the cotton beside it shrinks',
      holds: film.standsProud > 0.01 && film.standsProud > medium.standsProud,
    },
    {
      rule: 'Wire and stem hold the cloth out: it loses less width in the wash than plain cotton does',
      why: 'they neither shrink nor bend, and carry the width',
      holds: lost(wire, width) < lost(medium, width) && lost(stem, width) < lost(medium, width),
    },
    {
      rule: 'Cord and stem take their room: fewer picks to the cm and a thicker cloth than cotton alone',
      why: 'the least space between picks is set by the thicker of two',
      holds: [cord, stem].every(({ states }) => {
        const { onLoom } = medium.states;
        return (
          states.onLoom.picksPerCm.value < onLoom.picksPerCm.value &&
          states.onLoom.thicknessMm.value > onLoom.thicknessMm.value
        );
      }),
    },
    {
      rule: 'Elastic laid stretched draws the cloth in off the loom, more than any other weft here',
      why: 'the cotton picks between ripple',
      holds: all.every((row) => row === elastic || width(row, 'offLoom') > width(elastic, 'offLoom')),
    },
  ];
}
