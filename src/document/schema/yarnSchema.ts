import * as v from 'valibot';
import { colourField, idField, nameField, numberBetween, rangeBetween, textUpTo, wholeBetween } from './fields.ts';

/** The newest version of yarn cards; 2 keeps ranges of what was measured, what is left, and colours along the yarn; 3 how far these bleed. */
export const YARN_VERSION = 3;

/** How much is on the shelf: grams, metres or both, as found out last. */
export const leftSchema = v.pipe(
  v.strictObject({
    grams: v.optional(numberBetween(0, 1_000_000, 'g')),
    metres: v.optional(numberBetween(0, 10_000_000, 'm')),
  }),
  v.check(
    (left) => left.grams !== undefined || left.metres !== undefined,
    'says neither grams nor metres | give one of them, or leave it out',
  ),
);

/** Colours along a yarn; the same fields as `ColourRepeat` in `engine/yarn/colourRepeat.ts`. */
const colourRepeatSchema = v.pipe(
  v.strictObject({
    lengthMm: numberBetween(1, 100_000, 'mm'),
    startMm: numberBetween(0, 100_000, 'mm'),
    stops: v.pipe(
      v.array(v.strictObject({ atMm: numberBetween(0, 100_000, 'mm'), colour: colourField })),
      v.minLength(2, 'names fewer than two colours | give two or more, or leave the repeat out'),
      v.maxLength(256, 'names more than 256 colours | leave some out'),
    ),
    bleedMm: v.optional(numberBetween(0, 1000, 'mm')),
  }),
  v.check(
    ({ stops }) => stops.every(({ atMm }, k) => k === 0 || atMm > stops[k - 1].atMm),
    'has stops out of order | put them in order along the yarn, each at a place of its own',
  ),
  v.check(
    ({ lengthMm, stops }) => stops.every(({ atMm }) => atMm < lengthMm),
    'has a stop beyond its length | lengthen the repeat, or move the stop within it',
  ),
);

const lustreField = v.picklist(['matte', 'satin', 'bright', 'metal', 'film', 'hologram', 'clear']);

const sharesSchema = v.pipe(
  v.array(v.strictObject({ colour: colourField, share: numberBetween(0.001, 1) })),
  v.minLength(2, 'names fewer than two colours | give two or more, or leave it out'),
  v.maxLength(14, 'names more than 14 colours | leave some out'),
  v.check(
    (shares) => Math.abs(shares.reduce((sum, { share }) => sum + share, 0) - 1) < 0.005,
    'has shares that do not make up 1 | make them add up to 1',
  ),
);

/** What a strip, cord or pile yarn is made of; the same fields as in `engine/yarn/yarnSurface.ts`. */
const makeFields = {
  /** Colours of its plies in turn. */
  plyColours: v.optional(
    v.pipe(
      v.array(colourField),
      v.minLength(2, 'names fewer than two colours | give two or more, or leave it out'),
      v.maxLength(14, 'names more than 14 colours | leave some out'),
    ),
  ),
  /** Fibres of several colours spun together. */
  blend: v.optional(sharesSchema),
  /** Motifs on a strip's face. */
  print: v.optional(v.strictObject({ motifMm: numberBetween(0.2, 200, 'mm'), colours: sharesSchema })),
  make: v.optional(
    v.strictObject({
      kind: v.picklist(['woven', 'twill', 'knitted', 'felted', 'braided', 'leaf', 'creased']),
      acrossMm: numberBetween(0.02, 20, 'mm'),
      alongMm: numberBetween(0.02, 200, 'mm'),
    }),
  ),
  mesh: v.optional(
    v.strictObject({
      shape: v.picklist(['hexagon', 'square']),
      pitchMm: numberBetween(0.05, 20, 'mm'),
      barPacking: numberBetween(0.05, 1),
    }),
  ),
  back: v.optional(v.strictObject({ coneColour: colourField, lustre: lustreField })),
  core: v.optional(
    v.strictObject({ coneColour: colourField, lustre: lustreField, diameterMm: numberBetween(0.02, 20, 'mm') }),
  ),
  glitter: v.optional(
    v.strictObject({
      perCm2: numberBetween(0.01, 10_000, 'per cm²'),
      diameterMm: numberBetween(0.02, 5, 'mm'),
      coneColour: colourField,
    }),
  ),
  paint: v.optional(
    v.strictObject({
      colour: colourField,
      share: numberBetween(0.001, 1),
      patchMm: numberBetween(0.5, 1000, 'mm'),
    }),
  ),
};

/**
 * A yarn card (`presets/yarns/*.json`, and each entry of a sample's `yarns`). Ranges are [least, most].
 * `coneColour` is what the eye sees on a wound cone in diffuse light.
 * The same fields as `YarnRecord` in `engine/yarn/yarnRecord.ts`.
 */
export const yarnSchema = v.pipe(
  v.strictObject({
    format: v.literal('forecloth-yarn'),
    version: v.literal(YARN_VERSION),
    id: idField,
    name: nameField,
    fibre: textUpTo(120),
    /** As a label prints it ("Ne 8/2"); the number that counts is `tex`. */
    count: v.optional(textUpTo(120)),
    tex: numberBetween(0.5, 100_000, 'tex'),
    plies: wholeBetween(1, 64),
    shape: v.picklist(['round', 'strip']),
    stripWidthMm: v.optional(numberBetween(0.05, 200, 'mm')),
    gaugeMm: v.optional(numberBetween(0.001, 20, 'mm')),
    packingFraction: numberBetween(0.005, 1),
    fibreDensityGPerCm3: numberBetween(0.1, 25, 'g/cm³'),
    contactWidthMm: v.optional(numberBetween(0.01, 200, 'mm')),
    freeWidthMm: v.optional(numberBetween(0.01, 200, 'mm')),
    bendingNmm2: rangeBetween(1e-7, 1e6, 'N mm²'),
    twistTurnsPerM: v.optional(rangeBetween(0, 5000, 'turns per m')),
    twistDirection: v.optional(v.picklist(['S', 'Z'])),
    compressibility: v.picklist(['none', 'low', 'medium', 'high']),
    lustre: v.optional(lustreField),
    coneColour: colourField,
    /** Of yarns that change colour along their length; the cone's colour is then their mean. */
    colourRepeat: v.optional(colourRepeatSchema),
    ...makeFields,
    hairiness: v.optional(v.picklist(['none', 'low', 'medium', 'high', 'halo', 'pile', 'loops', 'frayed edge'])),
    hairLengthMm: v.optional(rangeBetween(0, 200, 'mm')),
    lengthShrinkPercent: v.optional(rangeBetween(-20, 80, '%')),
    laidStretchPercent: v.optional(numberBetween(0, 400, '%')),
    /** Thick places made on purpose. */
    slubs: v.optional(
      v.strictObject({
        timesWidth: rangeBetween(1, 8),
        lengthMm: rangeBetween(1, 1000, 'mm'),
        everyMm: rangeBetween(5, 10_000, 'mm'),
      }),
    ),
    /** What measured figures may be for all that their readings leave open. */
    ranges: v.optional(
      v.strictObject({
        tex: v.optional(rangeBetween(0.1, 200_000, 'tex')),
        packingFraction: v.optional(rangeBetween(0.001, 1)),
        contactWidthMm: v.optional(rangeBetween(0.001, 400, 'mm')),
        freeWidthMm: v.optional(rangeBetween(0.001, 400, 'mm')),
        stripWidthMm: v.optional(rangeBetween(0.01, 400, 'mm')),
        gaugeMm: v.optional(rangeBetween(0.0001, 40, 'mm')),
      }),
    ),
    left: v.optional(leftSchema),
    cautions: v.optional(textUpTo(2000)),
    provenance: v.optional(v.record(v.string(), v.string())),
    sources: v.optional(v.array(v.string())),
  }),
  v.check(
    (yarn) => yarn.shape !== 'strip' || yarn.stripWidthMm !== undefined,
    'is a strip without a width | give stripWidthMm',
  ),
  v.check(
    (yarn) => yarn.shape === 'strip' || (!yarn.mesh && !yarn.back && !yarn.paint && !yarn.print),
    'is round, but has a mesh, a back, a print or paint, which strips have | make it a strip, or leave these out',
  ),
  v.check(
    (yarn) => !yarn.core || yarn.hairiness === 'pile',
    'has a core without pile round it | make its hairiness pile, or leave the core out',
  ),
  v.check(
    (yarn) => (yarn.plyColours?.length ?? 0) <= yarn.plies,
    'names colours of more plies than it has | leave colours out, or give it as many plies',
  ),
  v.check(
    (yarn) => [yarn.colourRepeat, yarn.plyColours, yarn.blend, yarn.print].filter(Boolean).length <= 1,
    'has colours along it, in its plies, of its fibres and printed on it | keep one of colourRepeat, plyColours, blend and print',
  ),
);

export type YarnCard = v.InferOutput<typeof yarnSchema>;
