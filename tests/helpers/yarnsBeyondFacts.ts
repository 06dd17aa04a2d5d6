/**
 * Yarns of the shelf that the gathered facts (`tests/reference/data/yarn-facts.json`) do not hold, and of which yarn each has the
 * figures: spun, twisted or cut alike, otherwise coloured.
 */
export const yarnsBeyondFacts: Readonly<Record<string, string>> = {
  'cotton-marl-8-2': 'cotton-8-2',
  'cotton-space-dyed-8-2': 'cotton-8-2',
  'print-strip-10': 'cloth-strip-10',
  'wool-brushed-2ply': 'woollen-2ply',
  'wool-heather-2ply': 'woollen-2ply',
};

/** And those that are like none of them. */
export const yarnsOfTheirOwn: readonly string[] = ['cotton-gimp'];
