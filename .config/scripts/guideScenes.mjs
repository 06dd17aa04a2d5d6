// What the guide's pictures show: samples of preset yarns on one small ground, and how each is seen.
import { across, card, near, sampleOf } from './guideGround.mjs';
import { readPreset } from './sheetSample.mjs';

const WHITE = '#ece8dc';
const NIGHT = '#22384a';
const RUST = '#a5482d';
const KELP = '#48683c';
const OCHRE = '#d09a2e';

function beaten(firmness) {
  return sampleOf({
    name: `beat ${firmness}`,
    yarns: { ends: card('cotton-10-2', '#8fa3ad'), weft: card('cotton-10-2', RUST) },
    passesOf: (k) => across('weft', k),
    picks: 60,
    firmness,
  });
}

function oddWefts() {
  const odd = new Map([
    [14, 'cord-a'],
    [17, 'cord-b'],
    [34, 'stem'],
    [52, 'fibre'],
    [68, 'strip'],
  ]);
  return sampleOf({
    name: 'odd wefts',
    yarns: {
      ends: card('cotton-10-2', WHITE),
      'cord-a': card('cotton-cord-3', NIGHT),
      'cord-b': card('cotton-cord-3', RUST),
      stem: card('chenille-stem-6', KELP),
      fibre: card('loose-fibre-inlay', OCHRE),
      strip: card('cloth-strip-20', '#8c2f63'),
    },
    passesOf: (k) => {
      const yarn = odd.get(k);
      return yarn ? across(yarn, k, { ends: 'cut', tailMm: 8 }) : across('ends', k);
    },
    picks: 84,
    ends: 64,
    afterLoom: [{ kind: 'bend', pick: 35, end: 26, angleDegrees: 25, radiusMm: 4, side: 'face' }],
  });
}

/** Two ends of film together every third pick, in an eight-end sateen. */
function metal() {
  return sampleOf({
    name: 'metallised picks',
    yarns: { ends: card('cotton-20-2', '#2b4a55'), film: card('metal-film-1-64', '#d8b357') },
    passesOf: (k) => across(k % 3 === 0 ? ['film', 'film'] : 'ends', k),
    picks: 96,
    ends: 96,
    weave: 'sateen-8',
    reed: { dentsPerCm: 6, endsPerDent: 2 },
    finish: { treatment: 'machineWashed' },
  });
}

const PATCH = { from: 18, to: 33 };

/** The ground's weft kept to both sides of the patch, and the patch's between. */
function tapestry(k, join) {
  const ends = 48;
  const enters = k % 2 === 0 ? 'left' : 'right';
  const shared = join === 'dovetail' ? 1 : 0;
  const part = (yarn, fromEnd, toEnd) => {
    const leaves = enters === 'left' ? toEnd : fromEnd;
    const atEdge = leaves === (enters === 'left' ? ends : 1);
    const joined = join === 'dovetail' ? 'turn' : join;
    return { strands: [yarn], fromEnd, toEnd, enters, ends: atEdge ? 'selvedge' : joined };
  };
  return [
    part('ends', 1, PATCH.from - 1 + shared),
    part('patch', PATCH.from, PATCH.to),
    part('ends', PATCH.to + 1 - shared, ends),
  ];
}

function laidByHand() {
  const inlaid = (k) => ({
    strands: ['patch'],
    fromEnd: PATCH.from,
    toEnd: PATCH.to,
    enters: k % 2 === 0 ? 'left' : 'right',
    ends: 'turn',
  });
  const joins = ['slit', 'dovetail', 'interlock', 'inlay'];
  return sampleOf({
    name: 'laid by hand',
    yarns: { ends: card('cotton-10-2', WHITE), patch: card('cotton-10-2', RUST) },
    passesOf: (k) => {
      const join = k % 11 >= 3 ? joins[Math.floor(k / 11)] : undefined;
      if (!join) return across('ends', k);
      return join === 'inlay' ? [...across('ends', k), inlaid(k)] : tapestry(k, join);
    },
    picks: 47,
  });
}

function cutEdges() {
  return sampleOf({
    name: 'cut picks',
    yarns: { ends: card('cotton-10-2', '#b9352f'), cord: card('cotton-cord-2', OCHRE) },
    passesOf: (k) => {
      if (k % 2 === 1) return across('ends', k);
      const tails = k < 16 ? { tails: 'tucked', tailMm: 15 } : { tails: 'fringe', tailMm: 12 };
      return across('cord', k, { ends: 'cut', ...tails });
    },
    picks: 28,
    ends: 32,
  });
}

function bentStem() {
  return sampleOf({
    name: 'a stem bent',
    yarns: { ends: card('cotton-10-2', '#9fb3b5'), stem: card('chenille-stem-6', RUST) },
    passesOf: (k) => (k === 40 ? across('stem', k, { ends: 'cut', tailMm: 10 }) : across('ends', k)),
    picks: 80,
    ends: 96,
    afterLoom: [{ kind: 'bend', pick: 41, end: 48, angleDegrees: 60, radiusMm: 5, side: 'face' }],
  });
}

function rippled() {
  const yarns = { ends: card('cotton-20-2', WHITE), blue: card('cotton-20-2', '#31618c') };
  return sampleOf({
    name: 'stripes from a second beam',
    yarns,
    passesOf: (k) => across('ends', k),
    picks: 150,
    ends: 144,
    reed: { dentsPerCm: 6, endsPerDent: 2 },
    warpMore: {
      order: '36 ends 36 blue x2',
      secondBeam: { ends: '0 x36, 1 x36', slackPercent: 12.5 },
    },
  });
}

/** A preset sample, changed. */
const changed = (name, change) => change(structuredClone(readPreset(`samples/${name}`)));

function buoyWithWool() {
  return changed('channel-buoy', (sample) => {
    const wool = { ...card('merino-nm-28-2', WHITE), id: 'wool' };
    const picks = sample.picks.map((pick) => ({
      ...pick,
      passes: pick.passes.map((pass) => ({
        ...pass,
        strands: pass.strands.map((id) => (id === 'pale' ? 'wool' : id)),
      })),
    }));
    const finish = { treatment: 'machineWashed' };
    return { ...sample, yarns: { ...sample.yarns, wool }, picks, finish, versions: [] };
  });
}

function gamp(more) {
  return changed('signal-gamp', (sample) => ({ ...sample, versions: [], ...more(sample) }));
}

const sleyed = () => gamp(({ warp }) => ({ warp: { ...warp, reed: { ...warp.reed, endsPerDent: '2 2 0 3' } } }));
const gilt = () => gamp(() => ({ afterLoom: [{ kind: 'foil', side: 'face', colour: '#d6a93f', share: 0.25 }] }));

/** An outline round the buoy. */
function outline() {
  return changed('channel-buoy', (sample) => {
    const around = Array.from({ length: 48 }, (_, k) => {
      const turn = (2 * Math.PI * k) / 48;
      return { end: 96.5 + 46 * Math.cos(turn), pick: 92 + 60 * Math.sin(turn) };
    });
    const cut = { kind: 'cut', line: around, closed: true, what: 'through', keep: 'inside', frayMm: 4 };
    return { ...sample, versions: [], afterLoom: [cut] };
  });
}

/**
 * Pictures of the guide, by file: panels from left to right, of a size in px. All of one sample have one state.
 */
export const SCENES = {
  'beat-loose-medium-firm': [0.25, 0.6, 0.95].map((firmness) => ({
    sample: beaten(firmness),
    view: { ...near, width: 260, height: 320, mmPerPx: 0.05 },
  })),
  'odd-wefts': [{ sample: oddWefts(), view: { ...near, view: 'turned', state: 'offLoom', width: 640, height: 620 } }],
  'metal-washed': ['onLoom', 'finished'].map((state) => ({
    sample: metal(),
    view: { ...near, view: 'turned', state, width: 380, height: 300, mmPerPx: 0.035 },
  })),
  'laid-by-hand': [
    { sample: laidByHand(), view: { ...near, width: 480, height: 720, state: 'offLoom', mmPerPx: 0.088 } },
  ],
  'edges-cut': [{ sample: cutEdges(), view: { ...near, width: 480, height: 360, at: [0.1, 0.55], mmPerPx: 0.07 } }],
  'bent-stem': [{ sample: bentStem(), view: { ...near, view: 'low', state: 'offLoom', width: 480, height: 340 } }],
  'rippled-stripes': [
    { sample: rippled(), view: { ...near, view: 'low', light: 'raking', state: 'offLoom', width: 480, height: 340 } },
  ],
  'relief-pockets': [
    {
      sample: buoyWithWool(),
      view: {
        ...near,
        view: 'turned',
        light: 'raking',
        state: 'finished',
        zoom: 1.8,
        at: [0.5, 0.42],
        width: 560,
        height: 420,
      },
    },
  ],
  'reed-order': [{ sample: sleyed(), view: { ...near, width: 480, height: 360, mmPerPx: 0.11, at: [0.45, 0.5] } }],
  'after-outline': [
    {
      sample: outline(),
      view: { ...near, state: 'offLoom', width: 420, height: 480, mmPerPx: 0.145, at: [0.5, 0.52] },
    },
  ],
  'after-foil': [
    { sample: gilt(), view: { ...near, view: 'turned', state: 'offLoom', width: 480, height: 360, mmPerPx: 0.05 } },
  ],
};
