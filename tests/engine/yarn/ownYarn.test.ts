import { readdirSync, readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { validate } from '#document/schema/validate.ts';
import { yarnSchema } from '#document/schema/yarnSchema.ts';
import { roundDiameterMm } from '#engine/yarn/diameter.ts';
import { metresLeft } from '#engine/yarn/leftYarn.ts';
import { meshBarMm, meshCover } from '#engine/yarn/mesh.ts';
import { ownYarn } from '#engine/yarn/ownYarn.ts';
import { meshOfKind, shapeOfKind } from '#engine/yarn/ownYarnKinds.ts';
import { type OwnYarnMeasured, ownYarnKinds } from '#engine/yarn/ownYarnTypes.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import yarnFacts from '#tests/reference/data/yarn-facts.json';

interface Facts {
  readonly id: string;
  readonly tex: number;
  readonly yd_per_lb?: number;
  readonly wraps_per_inch_measured?: number | null;
  readonly diameter_computed_mm?: number;
}
const facts = yarnFacts.yarns as unknown as readonly Facts[];
const factsOf = (id: string) => facts.find((entry) => entry.id === id)!;

const folder = new URL('../../../presets/yarns/', import.meta.url);
const cards = readdirSync(folder).map((name) => JSON.parse(readFileSync(new URL(name, folder), 'utf8')) as YarnRecord);
const cardOf = (id: string) => cards.find((card) => card.id === id)!;

/** Yards per pound to tex, exact by definition of both units: 1 yd = 0.9144 m, 1 lb = 453.59237 g. */
const TEX_TIMES_YD_PER_LB = 453_592.37 / 0.9144;

const quay = { id: 'quay', name: 'quay', shape: 'round' } as const;

function made(measured: OwnYarnMeasured): YarnRecord {
  const { record, problems } = ownYarn(measured);
  if (!record) throw new Error(problems.map(({ what }) => what).join('; '));
  return record;
}

/** What she reads off a yarn of a known weight and ruler count: a scale of such steps, turns to the half. */
function readOff(tex: number, scaleStepG: number, metres: number, wrapsPerInch?: number): Partial<OwnYarnMeasured> {
  const grams = Math.round((tex * metres) / 1000 / scaleStepG) * scaleStepG;
  const turns = wrapsPerInch === undefined ? undefined : Math.round(2 * wrapsPerInch) / 2;
  return { grams, scaleStepG, metres, ...(turns ? { wraps: { turns, overMm: 25.4 } } : {}) };
}

function yarnSchemaProblems(record: YarnRecord): readonly string[] {
  const checked = validate(yarnSchema, record);
  return checked.ok ? [] : checked.problems.map(({ message }) => message);
}

const within = (value: number, range: readonly [number, number] | undefined) => {
  expect(value).toBeGreaterThanOrEqual(range![0]);
  expect(value).toBeLessThanOrEqual(range![1]);
};

// Ruler counts read in weavers' notes (linen by a spinner's table of windings per cm, shetland and sock yarn by theirs),
// yardages published with them; see the provenance in the facts' file.
const counted = ['linen-80-2', 'linen-35-2', 'shetland-single', 'sock-handspun'];

describe('yarns of published yardage and ruler count, measured at a table', () => {
  it.each(counted)('%s: tex within the scale’s error of the published yardage', (id) => {
    const published = factsOf(id);
    const tex = TEX_TIMES_YD_PER_LB / published.yd_per_lb!;
    for (const [step, metres] of [
      [0.1, 20],
      [1, 200],
    ] as const) {
      const record = made({ ...quay, ...readOff(tex, step, metres) });
      within(tex, record.ranges!.tex);
      // Half a step at the most is lost in reading, and four figures are kept.
      expect(Math.abs(record.tex - tex)).toBeLessThanOrEqual((500 * step) / metres + 1e-3 * tex);
    }
  });

  it.each(counted)('%s: free width as counted, contact width about the published one', (id) => {
    const { tex, wraps_per_inch_measured: wraps, diameter_computed_mm: published } = factsOf(id);
    const { fibre, compressibility } = cardOf(id);
    for (const squeeze of [compressibility, undefined]) {
      const record = made({ ...quay, fibre, squeeze, ...readOff(tex, 0.1, 20, wraps!) });
      within(25.4 / wraps!, record.ranges!.freeWidthMm);
      within(published!, record.ranges!.contactWidthMm);
      // Halves of the published packing ranges, ±10 %, and of the count's half turn.
      expect(Math.abs(record.contactWidthMm! / published! - 1)).toBeLessThan(0.15);
      // What was not told is found from how full of fibre it lies on the ruler.
      expect(record.compressibility).toBe(compressibility);
    }
  });

  // Knitting-yarn class tables give wraps per inch; the free width on these cards is 25.4 mm over them.
  it.each(['knit-fingering', 'knit-dk', 'knit-worsted', 'knit-bulky', 'acrylic-dk'])('%s: a lofty yarn', (id) => {
    const card = cardOf(id);
    const record = made({ ...quay, fibre: card.fibre, ...readOff(card.tex, 0.1, 10, 25.4 / card.freeWidthMm!) });
    within(card.freeWidthMm!, record.ranges!.freeWidthMm);
    within(factsOf(id).diameter_computed_mm!, record.ranges!.contactWidthMm);
    expect(record.compressibility).toBe('high');
  });
});

describe('every yarn of the shelf, measured', () => {
  it.each(cards)('$id comes back: tex, widths in order, bending about as on its card', (card) => {
    const metres = Math.max(1, 20_000 / card.tex);
    const { record, problems } = ownYarn({
      ...quay,
      fibre: card.fibre,
      shape: card.shape,
      stripWidthMm: card.stripWidthMm,
      gaugeMm: card.gaugeMm,
      squeeze: card.compressibility,
      plies: card.plies,
      hairiness: card.hairiness,
      ...readOff(
        card.tex,
        0.1,
        metres,
        card.freeWidthMm && card.shape === 'round' ? 25.4 / card.freeWidthMm : undefined,
      ),
    });
    expect(problems.filter(({ stops }) => stops)).toEqual([]);
    within(card.tex, record!.ranges!.tex);
    const body = yarnBody(yarnFactsOf(record!));
    expect(body.bodyWidthMm).toBeGreaterThanOrEqual(body.contactWidthMm);
    expect(body.freeWidthMm).toBeGreaterThanOrEqual(body.bodyWidthMm);
    for (const value of Object.values(body)) if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
    // No card of the shelf contradicts itself but those that are several materials in one.
    const composite = [
      'silk-steel',
      'chenille-stem-6',
      'elastane-covered-156',
      'metal-film-twisted',
      'wire-silver-0.1',
    ];
    if (!composite.includes(card.id)) expect(problems).toEqual([]);
  });

  // The cards' own rule: fibres free, to six times that. Moduli are known to ±30 %, so the ends are held to that.
  it.each(cards.filter(({ provenance }) => provenance?.bendingNmm2?.startsWith('computed (beam-derived')))(
    '$id bends as its card does',
    ({ id: _id, ...card }) => {
      const record = made({ ...quay, fibre: card.fibre, ...readOff(card.tex, 0.1, 20_000 / card.tex) });
      for (const end of [0, 1]) {
        const ratio = record.bendingNmm2[end] / card.bendingNmm2[end];
        expect(ratio).toBeGreaterThan(0.7);
        expect(ratio).toBeLessThan(1.3);
      }
    },
  );

  it('a limp one bends more easily than a stiff one, and one with a wire in it hardest', () => {
    const stiffness = (told: OwnYarnMeasured['stiffness']) =>
      yarnBody(yarnFactsOf(made({ ...quay, fibre: 'cotton', grams: 10, metres: 20, stiffness: told }))).bendingNmm2;
    expect(stiffness('limp')).toBeLessThan(stiffness('usual'));
    expect(stiffness('usual')).toBeLessThan(stiffness('stiff'));
    expect(stiffness('stiff')).toBeLessThan(stiffness('wire'));
  });

  // Copper wire 0.2 mm weighs π/4 · 0.2² mm² · 8.9 g/cm³ = 279.6 tex: geometry and a handbook density.
  it('bare wire is as thick as its weight says', () => {
    const { record, problems } = ownYarn({
      ...quay,
      fibre: 'copper',
      squeeze: 'none',
      grams: 2.8,
      scaleStepG: 0.1,
      metres: 10,
    });
    expect(problems).toEqual([]);
    within(0.2, record!.ranges!.contactWidthMm);
    within(9.2, record!.bendingNmm2);
    expect(record!.cautions).toMatch(/sharp cut ends/);
  });
});

describe('errors of the readings', () => {
  it('the true yarn lies in the range, whatever was read off it (seed 20261126)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 3000, noNaN: true }),
        fc.double({ min: 0.3, max: 0.65, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        (tex, packing, pull) => {
          const metres = 20_000 / tex;
          // Half a per cent either way by the pull of the hand, on a yarn that does not stretch.
          const truth = tex * (1 + 0.005 * pull);
          const width = roundDiameterMm(truth, packing * 0.4, 1.52);
          const record = made({
            ...quay,
            fibre: 'cotton',
            stretch: 'none',
            ...readOff(truth, 0.1, metres, 25.4 / width),
          });
          within(truth, record.ranges!.tex);
          within(width, record.ranges!.freeWidthMm);
          within(record.contactWidthMm!, record.ranges!.contactWidthMm);
          within(record.packingFraction, record.ranges!.packingFraction);
        },
      ),
      { seed: 20261126, numRuns: 300 },
    );
  });

  it('a coarser scale, fewer wraps and a stretchy yarn each widen the range', () => {
    const spread = ([low, high]: readonly [number, number]) => high / low;
    const base = { ...quay, fibre: 'wool', grams: 10, scaleStepG: 0.1, metres: 40, wraps: { turns: 12, overMm: 25 } };
    const fine = made(base).ranges!;
    expect(spread(made({ ...base, scaleStepG: 1 }).ranges!.tex!)).toBeGreaterThan(spread(fine.tex!));
    expect(spread(made({ ...base, stretch: 'much' }).ranges!.tex!)).toBeGreaterThan(spread(fine.tex!));
    expect(spread(made({ ...base, wraps: { turns: 3, overMm: 6.25 } }).ranges!.freeWidthMm!)).toBeGreaterThan(
      spread(fine.freeWidthMm!),
    );
    // Pushed-up turns say more of the contact than weight and loft together.
    // As many turns pushed up as slack: yet its weight leaves air in it, so it gives as spun yarns do, and bends like them.
    const asMany = made({ ...base, squeeze: undefined, wrapsPressed: base.wraps });
    expect(asMany.compressibility).toBe('low');
    const pushed = made({ ...base, squeeze: undefined, wrapsPressed: { turns: 18, overMm: 25 } });
    expect(pushed.provenance!.contactWidthMm).toMatch(/measured by you/);
  });

  it('says of each figure whether it was measured or is an estimate', () => {
    const record = made({ ...quay, grams: 10, metres: 40, wraps: { turns: 12, overMm: 25 }, coneColour: '#3f5a6b' });
    expect(record.provenance!.tex).toMatch(/^measured by you: 10 g, to 1 g, in 40 m/);
    expect(record.provenance!.freeWidthMm).toMatch(/^measured by you: 12 wraps in 25 mm/);
    const figures = Object.keys(record).filter(
      (key) => !['format', 'version', 'id', 'name', 'fibre', 'shape', 'ranges', 'cautions', 'provenance'].includes(key),
    );
    for (const key of figures)
      expect(record.provenance![key], key).toMatch(/measured by you|estimate|computed|seen|chosen|label/);
  });
});

describe('labels and fibres as they are written', () => {
  const read = (count: string, fibre?: string) => ownYarn({ ...quay, count, fibre });

  // Cotton by 840 yd hanks, linen by leas of 300 yd, the plies' weight added (common practice).
  it.each([
    ['8/4', 'cotton', (4 * TEX_TIMES_YD_PER_LB) / (8 * 840), 4],
    ['16/2', 'linen', (2 * TEX_TIMES_YD_PER_LB) / (16 * 300), 2],
  ])('reads a bare %s of %s by the system that the fibre is sold in, and says so', (count, fibre, tex, plies) => {
    const { record, problems } = read(count, fibre);
    expect(problems).toEqual([]);
    expect(record!.tex / tex).toBeCloseTo(1, 3);
    expect(record!.plies).toBe(plies);
    expect(record!.provenance!.tex).toMatch(/read as (Ne 8\/4|lea 16\/2|16\/2 lea)/);
  });

  it('asks for the system where the fibre is sold by several, or is not named', () => {
    for (const fibre of ['wool', undefined]) {
      const { record, problems } = read('2/16', fibre);
      expect(record).toBeUndefined();
      expect(problems[0].remedy).toMatch(/"Nm 2\/16" or "worsted 2\/16"/);
    }
    expect(read('2/16 Nm', 'wool').record!.tex).toBeCloseTo(125, 6);
    expect(read('R148/2 tex').record).toMatchObject({ tex: 148, plies: 2 });
  });

  it('says which fibres are known where one is not, and makes the yarn all the same', () => {
    const { record, problems } = read('R148/2 tex', 'moonbeam');
    expect(record!.tex).toBe(148);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ at: ['fibre'], stops: false });
    expect(problems[0].remedy).toMatch(/nearest of cotton, linen, wool/);
    expect(read('R148/2 tex', 'lin').problems).toEqual([]);
  });
});

describe('readings that exclude each other', () => {
  const problemsOf = (measured: Partial<OwnYarnMeasured>) => {
    const { record, problems } = ownYarn({ ...quay, fibre: 'wool', ...measured });
    return { record, told: problems.map(({ at, what, remedy }) => `${at[0]}: ${what}; ${remedy}`).join('\n') };
  };
  const light = { grams: 0.4, scaleStepG: 0.01, metres: 20 };

  it.each<[string, Partial<OwnYarnMeasured>, RegExp]>([
    [
      '3 wraps of a 20 tex yarn',
      { ...light, wraps: { turns: 3, overMm: 25 } },
      /wraps: 3 wraps in 25 mm and 20 tex .* 99 % air; count again/,
    ],
    [
      '400 wraps of a heavy one',
      { grams: 20, metres: 20, wraps: { turns: 60, overMm: 25 } },
      /wraps: .*no more than \d+ turns fit/,
    ],
    [
      'pushed up wider than slack',
      { grams: 20, metres: 40, wraps: { turns: 20, overMm: 25 }, wrapsPressed: { turns: 8, overMm: 25 } },
      /wrapsPressed: pushed up close/,
    ],
    [
      'does not give, yet is full of air',
      { grams: 20, metres: 80, squeeze: 'none', wraps: { turns: 10, overMm: 25 } },
      /squeeze: it does not give/,
    ],
    [
      'label and scale',
      { grams: 20, metres: 40, count: 'Nm 28/2' },
      /count: the scale says 500 tex and the label 71.4 tex/,
    ],
    ['a label that cannot be read', { grams: 20, metres: 40, count: 'thick' }, /count: the count cannot be read/],
    ['plies', { count: 'Nm 28/2', plies: 3 }, /plies: you counted 3 plies and the label says 2/],
    [
      'a turn wider than the strip',
      { shape: 'strip', stripWidthMm: 5, grams: 20, metres: 20, wraps: { turns: 3, overMm: 25 } },
      /wraps: a turn takes 8.3 mm/,
    ],
    [
      'thinner than solid',
      { shape: 'strip', stripWidthMm: 5, gaugeMm: 0.02, grams: 20, metres: 20 },
      /gaugeMm: 0.02 mm is too thin/,
    ],
    [
      'thicker than wide',
      { shape: 'strip', stripWidthMm: 2, gaugeMm: 9, grams: 200, metres: 20 },
      /gaugeMm: the strip is thicker/,
    ],
  ])('%s: told, and the rest still makes a yarn', (_, measured, words) => {
    const { record, told } = problemsOf(measured);
    expect(told).toMatch(words);
    expect(record?.provenance?.setAside).toBeTruthy();
    expect(() => yarnBody(yarnFactsOf(record!))).not.toThrow();
  });

  it.each<[string, Partial<OwnYarnMeasured>, RegExp]>([
    ['nothing', {}, /grams: how heavy it is, is not known yet; weigh a length/],
    ['no length', { grams: 10 }, /metres: a weight without its length/],
    ['no weight', { metres: 10 }, /grams: a length without its weight/],
    ['less than the scale tells', { grams: 1, metres: 1 }, /grams: 1 g is hardly more .*weigh about 20 m/],
    ['no length to speak of', { grams: 10, metres: 0 }, /metres: a length is above 0/],
    ['a strip without its width', { shape: 'strip', grams: 10, metres: 10 }, /stripWidthMm: a strip needs its width/],
  ])('%s: told, and no yarn made', (_, measured, words) => {
    const { record, told } = problemsOf(measured);
    expect(told).toMatch(words);
    expect(record).toBeUndefined();
  });
});

describe('metres left', () => {
  it('grams over tex, with the count’s doubt; metres as they were measured', () => {
    // 100 g of Nm 10 (100 tex) are 1000 m: the definition of metric count.
    expect(metresLeft({ tex: 100, left: { grams: 100 } })).toMatchObject({ value: 1000 });
    const { low, high } = metresLeft({ tex: 100, ranges: { tex: [90, 110] }, left: { grams: 100 } })!;
    expect([low, high]).toEqual([909.1, 1111]);
    expect(metresLeft({ tex: 100, left: { grams: 100, metres: 40 } })).toEqual({ value: 40, low: 40, high: 40 });
    expect(metresLeft({ tex: 100 })).toBeUndefined();
  });
});

describe('what a yarn looks like', () => {
  const strip = { id: 'net', name: 'net', shape: 'strip', kind: 'net', fibre: 'nylon', stripWidthMm: 25 } as const;
  // 17.5 g/m² of nylon in 25 mm: 0.4375 g to the metre.
  const weighed = { grams: 4.375, metres: 10, scaleStepG: 0.01 } as const;

  it.each(ownYarnKinds)('%s: a card of it can be laid, hairs, shine and squeeze said to be usual for it', (kind) => {
    const shape = shapeOfKind(kind);
    const record = made({
      id: kind,
      name: kind,
      shape,
      kind,
      grams: 20,
      metres: 40,
      ...(shape === 'strip' ? { stripWidthMm: 12 } : {}),
      ...(meshOfKind(kind) ? { holeToHoleMm: 2 } : {}),
    });
    expect(yarnSchemaProblems(record)).toEqual([]);
    expect(yarnBody(yarnFactsOf(record)).bodyWidthMm).toBeGreaterThan(0);
    for (const part of ['lustre', 'hairiness'] as const) expect(record.provenance![part]).toMatch(/^estimate/);
  });

  it('what was tried and looked at holds against what is usual', () => {
    const record = made({
      ...quay,
      kind: 'pile',
      grams: 20,
      metres: 40,
      hairiness: 'low',
      lustre: 'metal',
      squeeze: 'low',
    });
    expect(record).toMatchObject({ hairiness: 'low', lustre: 'metal', compressibility: 'low' });
    expect(record.provenance).toMatchObject({
      hairiness: 'seen by you',
      lustre: 'seen by you',
      compressibility: 'measured by you',
    });
  });

  // Plane geometry by another way: bars of diameter d round square holes of pitch p hold 2 · π d²/4 / p of volume to the area.
  it.each([0.7, 0.5, 0.25])(
    'a net knotted of strands %s full of fibre is read back from its weight, holes and strands',
    (full) => {
      const [pitchMm, strandMm, density] = [2, 0.3, 1.14];
      const gPerM2 = 1000 * density * full * ((Math.PI / 2) * (strandMm ** 2 / pitchMm));
      const record = made({
        ...strip,
        grams: gPerM2 * 0.025 * 10,
        metres: 10,
        scaleStepG: 0.01,
        holeToHoleMm: pitchMm,
        strandMm,
      });
      expect(record.mesh!.pitchMm).toBe(pitchMm);
      expect(record.mesh!.barPacking).toBeCloseTo(full, 2);
      expect(meshBarMm(record)).toBeCloseTo(strandMm, 2);
      // Share that is open, from the holes alone: (1 − d/p)².
      expect(1 - meshCover(pitchMm, meshBarMm(record))).toBeCloseTo((1 - strandMm / pitchMm) ** 2, 2);
      expect(record.provenance!.mesh).toBe('measured by you');
    },
  );

  it('strands too thin for the weight, as thick as their holes, or all but air are told and set aside', () => {
    for (const [strandMm, what] of [
      [0.02, /too thin/],
      [4, /leave no holes/],
      [1.5, /too thick/],
    ] as const) {
      const { record, problems } = ownYarn({ ...strip, ...weighed, holeToHoleMm: 2, strandMm });
      expect(problems).toHaveLength(1);
      expect(problems[0]).toMatchObject({ at: ['strandMm', 'holeToHoleMm', 'grams'], stops: false });
      expect(problems[0].what).toMatch(what);
      expect(record!.mesh!.barPacking).toBe(0.7);
    }
  });

  it('a net without its holes is no net yet, and without its weight asks for that and not for a thickness', () => {
    expect(ownYarn({ ...strip, ...weighed })).toMatchObject({
      record: undefined,
      problems: [{ at: ['holeToHoleMm'], stops: true }],
    });
    const [problem] = ownYarn({ ...strip, gaugeMm: 0.2, holeToHoleMm: 2 }).problems;
    expect(problem.remedy).toBe('weigh a length of it, or copy the count from its label');
  });

  it('the other side of a strip is its own; a round yarn has none', () => {
    const card = {
      shape: 'strip',
      kind: 'hologram',
      fibre: 'polyester',
      stripWidthMm: 5,
      grams: 2,
      metres: 1,
    } as const;
    const record = made({
      id: 'card',
      name: 'card',
      ...card,
      scaleStepG: 0.01,
      backColour: '#ffffff',
      backLustre: 'matte',
    });
    expect(record).toMatchObject({ lustre: 'hologram', back: { coneColour: '#ffffff', lustre: 'matte' } });
    expect(made({ ...quay, grams: 20, metres: 40, backColour: '#ffffff' })).not.toHaveProperty('back');
  });

  it('a colour says whether it was photographed or chosen', () => {
    const dyed = { ...quay, grams: 20, metres: 40, coneColour: '#1b998b' };
    expect(made(dyed).provenance!.coneColour).toBe('chosen by you');
    const colourFrom = 'measured by you: photographed beside a grey card, 18 %';
    expect(made({ ...dyed, colourFrom }).provenance!.coneColour).toBe(colourFrom);
  });
});
