/** Topics of which every case must be tested or its absence explained. */
export const TOPICS = {
  textile: ['01', '02', '03', '04', '05', '06', '07', '08', '10'],
  appearance: ['11', '12', '13', '14', '15'],
} as const;

/** Test file, from this folder -> the cases that it holds the engine to. */
export const COVERED: Readonly<Record<string, string>> = {
  'counts.test.ts': 'LD-01 LD-03 LD-04 LD-06 LD-08 LD-09 LD-11',
  'diameter.test.ts': 'LD-13 LD-14 LD-16 LD-17 LD-19 LD-20 LD-21 LD-23',
  'peirce.test.ts': 'PE-01 PE-02 PE-03 PE-04 PE-06 PE-08 PE-09 PE-11 PE-13 PE-15 PE-17 PE-18 PE-19',
  'flattened.test.ts': 'FL-01 FL-03 FL-04 FL-05 FL-07',
  'sett.test.ts': 'CS-01 CS-02 CS-04 CS-05 CS-07 CS-08 CS-10 CS-11 CS-13',
  'beatUp.test.ts': 'BU-01 BU-02 BU-03 BU-06 BU-08',
  'quantities.test.ts': 'TQ-01 TQ-03 TQ-05 TQ-06 TQ-07 TQ-09 TQ-10 TQ-12 TQ-14 TQ-15 TQ-18',
  'weaveTheory.test.ts': 'WT-01 WT-03 WT-04 WT-06 WT-08 WT-10 WT-11 WT-13 WT-15 WT-18',
  'drafts.test.ts': 'SD-01 SD-02 SD-04 SD-05 SD-06 SD-08 SD-10 SD-14 SD-15 SD-17',
  'interchange.test.ts': 'WF-01 WF-03 WF-05 WF-07 WF-08',
  '../engine/weave/structures.test.ts': 'SD-12',
  'yarnMechanics.test.ts': 'YM-01 YM-03 YM-09 YM-11 YM-13 YM-21 YM-23 YM-24 YM-26 YM-28 YM-29 YM-31 YM-33',
  'beams.test.ts': 'YM-04 YM-05 YM-06 YM-07 YM-14 YM-15 YM-16 YM-19',
  'colour.test.ts': 'CO-01 CO-03 CO-05 CO-06 CO-08 CO-10 CO-11 CO-13 CO-14 CO-16 CO-17 CO-19 CO-20 CO-23',
  'cover.test.ts': 'CO-22',
  'surfaceOptics.test.ts': 'OP-01 OP-03 OP-04 OP-05 OP-07 OP-09 OP-10 OP-12 OP-14 OP-15 OP-16 OP-17 OP-21 OP-26 OP-27',
  '../engine/scatter/grating.test.ts': 'OP-23 OP-24',
  'roundThreads.test.ts': 'OP-29 OP-30 OP-31 OP-33 OP-34 OP-36 OP-37',
  'seeing.test.ts': 'SE-01 SE-03 SE-04 SE-06 SE-07 SE-08',
  'imageGeometry.test.ts': 'IG-01 IG-02 IG-03 IG-05 IG-07 IG-08 IG-09 IG-11 IG-12 IG-14 IG-15 IG-17 IG-19 IG-20',
};

/** Case -> why nothing is computed for it. */
export const NOT_COVERED: Readonly<Record<string, string>> = {
  'CO-25':
    'Reflectance to absorption over scattering: a colour is picked for the yarn as it is on the cone, never mixed from dyes or fibres.',
  'CO-26':
    'Fibres of two colours carded together: a yarn has one colour for each strand, and strands twisted together mix by area (CO-19).',
  'OP-19':
    'Rough matte surfaces of facets: yarns scatter as cylinders of fibres instead, whose matte lobe has no roughness of that kind.',
  ...Object.fromEntries(
    ['SE-09', 'SE-11'].map((id) => [
      id,
      'Contrast sensitivity, which is how little a seer notices: the picture keeps the contrast that the eye’s optics leave and lets the seer judge it.',
    ]),
  ),
  ...Object.fromEntries(
    ['SE-13', 'SE-14', 'SE-15', 'SE-16', 'SE-18', 'SE-19', 'SE-21'].map((id) => [
      id,
      'Seeing by opponent colours, whose filters hold the nerves’ part too: a reader who looks at the picture adds that part herself, so light and colour are spread alike, by the eye’s optics alone.',
    ]),
  ),
};
