/** Topics of which every case must be tested or its absence explained. */
export const TOPICS = {
  textile: ['01', '02', '03', '04', '05', '07', '08'],
  appearance: ['14', '15'],
} as const;

/** Test file, beside this one -> the cases that it holds the engine to. */
export const COVERED: Readonly<Record<string, string>> = {
  'counts.test.ts': 'LD-01 LD-03 LD-04 LD-06 LD-08 LD-09 LD-11',
  'diameter.test.ts': 'LD-13 LD-14 LD-16 LD-17 LD-19 LD-20 LD-21 LD-23',
  'peirce.test.ts': 'PE-01 PE-02 PE-03 PE-04 PE-06 PE-08 PE-09 PE-11 PE-13 PE-15 PE-17 PE-18 PE-19',
  'flattened.test.ts': 'FL-01 FL-03 FL-04 FL-05 FL-07',
  'sett.test.ts': 'CS-01 CS-02 CS-04 CS-05 CS-07 CS-08 CS-10 CS-11 CS-13',
  'beatUp.test.ts': 'BU-01 BU-02 BU-03 BU-06 BU-08',
  'weaveTheory.test.ts': 'WT-01 WT-03 WT-04 WT-06 WT-08 WT-10 WT-11 WT-13 WT-15 WT-18',
  'drafts.test.ts': 'SD-01 SD-02 SD-04 SD-05 SD-06 SD-08 SD-10 SD-14 SD-15 SD-17',
  'yarnMechanics.test.ts': 'YM-01 YM-03 YM-09 YM-11 YM-13 YM-21 YM-23 YM-24 YM-26 YM-28 YM-29 YM-31 YM-33',
  'beams.test.ts': 'YM-04 YM-05 YM-06 YM-07 YM-14 YM-15 YM-16 YM-19',
  'imageGeometry.test.ts': 'IG-01 IG-02 IG-03 IG-05 IG-07 IG-08 IG-09 IG-11 IG-12 IG-14 IG-15 IG-17 IG-19 IG-20',
};

/** Case -> why nothing is computed for it. */
export const NOT_COVERED: Readonly<Record<string, string>> = {
  'SD-12':
    'Advice on where to stitch a double cloth so that the stitch is hidden: a choice for the designer, with no figure to compute; the engine places no stitches of itself.',
};
