import type { Outcome } from '#document/problem.ts';
import { MOST_ENDS, MOST_PICKS, MOST_SHAFTS, MOST_TREADLES } from '#document/schema/fields.ts';
import {
  type InterchangeDraft,
  type InterchangeThreads,
  type InterchangeUnit,
  MM_OF_UNIT,
} from './interchangeDraft.ts';
import {
  type InterchangeSection,
  type InterchangeSections,
  readSections,
  shown,
  withoutComment,
} from './interchangeSections.ts';
import {
  booleanOf,
  entryOf,
  fault,
  InterchangeFault,
  lengthOf,
  listOf,
  numbered,
  sectionOf,
  wholeOf,
} from './interchangeValues.ts';

export interface InterchangeRead {
  readonly draft: InterchangeDraft;
  readonly sections: InterchangeSections;
  /** What was taken otherwise than written, each a sentence. */
  readonly remarks: readonly string[];
}

/** Sections that are understood; all others are kept as they stood. */
const UNDERSTOOD = new Set([
  'WIF', 'CONTENTS', 'WEAVING', 'TEXT', 'NOTES', 'WARP', 'WEFT', 'COLOR PALETTE', 'COLOR TABLE', 'THREADING', 'TIEUP',
  'TREADLING', 'LIFTPLAN', 'WARP COLORS', 'WEFT COLORS', 'WARP THICKNESS', 'WEFT THICKNESS', 'WARP SPACING', 'WEFT SPACING',
]); // biome-ignore format: a list

/** Widest thread and widest room of one that is believed, mm. */
const MOST_MM = 500;
const MOST_COLOURS = 65_535;

/**
 * Reads a draft of the Weaving Information File specification 1.1 (1997): every section of its part V that tells of the
 * draft, entries left out taking the default that their thread set gives. Never throws; a file that cannot be read says
 * at which line and why.
 */
export function readInterchange(text: string): Outcome<InterchangeRead> {
  const sections = readSections(text);
  if (!sections.ok) return sections;
  try {
    return { ok: true, value: readDraft(sections.value) };
  } catch (error) {
    if (error instanceof InterchangeFault) return { ok: false, problems: [error.problem] };
    throw error;
  }
}

function readDraft(sections: InterchangeSections): InterchangeRead {
  const remarks: string[] = [];
  const head = sectionOf(sections, 'WIF');
  const version = entryOf(head, 'VERSION');
  if (!/^1(\.\d+)?$/u.test(withoutComment(version.value))) {
    throw fault(version.line, `is of version "${shown(version.value)}"`, 'save it as version 1.1');
  }
  remarks.push(...contentsRemarks(sections));

  const weaving = sectionOf(sections, 'WEAVING');
  const shafts = wholeOf(entryOf(weaving, 'SHAFTS'), 1, MOST_SHAFTS);
  const treadlesEntry = weaving.entries.get('TREADLES');
  const treadles = treadlesEntry ? wholeOf(treadlesEntry, 0, MOST_TREADLES) : 0;
  const rising = weaving.entries.get('RISING SHED');
  if (!rising && sections.has('TIEUP'))
    remarks.push('The file does not say which way the shed opens; rising is taken.');
  const profile = weaving.entries.get('PROFILE');
  if (profile && booleanOf(profile)) {
    remarks.push('The file is a profile draft: each of its shafts stands for a block, and is taken for a shaft here.');
  }

  const palette = readPalette(sections);
  const warp = readThreads(sections, 'WARP', MOST_ENDS, palette, remarks);
  const weft = readThreads(sections, 'WEFT', MOST_PICKS, palette, remarks);
  const lists = (title: string, most: number, thing: string, members: number, member: string) => {
    const section = sections.get(title);
    if (!section) return undefined;
    const known = numbered(section, most, thing, (entry) => listOf(entry, members, member));
    return Array.from({ length: most }, (_, i) => known.get(i + 1) ?? []);
  };
  const threading = lists('THREADING', warp.count, 'end', shafts, 'shaft');
  if (!threading) sectionOf(sections, 'THREADING');
  const tieUp = treadles > 0 ? lists('TIEUP', treadles, 'treadle', shafts, 'shaft') : undefined;
  const treadling = treadles > 0 ? lists('TREADLING', weft.count, 'pick', treadles, 'treadle') : undefined;
  const liftPlan = lists('LIFTPLAN', weft.count, 'pick', shafts, 'shaft');
  if (!liftPlan && !(tieUp && treadling)) {
    throw fault(
      weaving.line,
      'the file has neither a lift plan nor a tie-up with its treadling',
      'choose a whole draft',
    );
  }

  const words = sections.get('TEXT');
  return {
    draft: {
      title: words?.entries.get('TITLE')?.value ?? '',
      notes: [...numbered(sections.get('NOTES'), 100_000, 'note', ({ value }) => value)]
        .sort(([a], [b]) => a - b)
        .map(([, note]) => note),
      shafts,
      treadles,
      risingShed: rising ? booleanOf(rising) : true,
      warp,
      weft,
      palette: palette.colours,
      threading: threading ?? [],
      tieUp: tieUp && treadling ? tieUp : undefined,
      treadling: tieUp && treadling ? treadling : undefined,
      liftPlan,
      foreign: [...sections]
        .filter(([title]) => !UNDERSTOOD.has(title))
        .map(([, { title, lines }]) => ({ title, lines: [...lines] })),
    },
    sections,
    remarks,
  };
}

/** Sections listed but missing, which a file cut off in the middle shows. */
function contentsRemarks(sections: InterchangeSections): string[] {
  const contents = sectionOf(sections, 'CONTENTS');
  const missing: string[] = [];
  for (const entry of contents.entries.values()) {
    if (booleanOf(entry) && !sections.has(entry.key.toUpperCase())) missing.push(entry.key);
  }
  if (missing.length === 0) return [];
  const draftParts = missing.find((title) => ['WARP', 'WEFT', 'THREADING', 'WEAVING'].includes(title.toUpperCase()));
  if (draftParts)
    throw fault(contents.line, `lists [${shown(draftParts)}], which is not in the file`, 'fetch the whole file');
  return [`The file lists parts that it does not hold: ${missing.map(shown).join(', ')}.`];
}

interface Palette {
  readonly colours: string[];
  readonly indexOf: Map<string, number>;
  readonly range: readonly [number, number];
}

function readPalette(sections: InterchangeSections): Palette {
  const section = sections.get('COLOR PALETTE');
  const form = section?.entries.get('FORM');
  if (form && withoutComment(form.value).toUpperCase() !== 'RGB') {
    throw fault(form.line, `colours are given as "${shown(form.value)}"`, 'save them as RGB');
  }
  const rangeEntry = section?.entries.get('RANGE');
  let range: [number, number] = [0, 255];
  if (rangeEntry) {
    const ends = withoutComment(rangeEntry.value).split(',').map(Number);
    if (ends.length !== 2 || !ends.every(Number.isInteger) || !(ends[1] > ends[0])) {
      throw fault(rangeEntry.line, `Range is "${shown(rangeEntry.value)}"`, 'write least,most');
    }
    range = [ends[0], ends[1]];
  }
  const palette: Palette = { colours: [], indexOf: new Map(), range };
  const table = sections.get('COLOR TABLE');
  const colours = numbered(table, MOST_COLOURS, 'colour', ({ value, line }) => colourOf(value, range, line));
  const count = Math.max(0, ...colours.keys());
  // A number without an entry keeps its place: threads may name the ones after it.
  for (let i = 1; i <= count; i++) palette.colours.push(colours.get(i) ?? '#808080');
  palette.colours.forEach((colour, i) => {
    if (!palette.indexOf.has(colour)) palette.indexOf.set(colour, i);
  });
  return palette;
}

function colourOf(value: string, [least, most]: readonly [number, number], line: number): string {
  const parts = withoutComment(value)
    .split(',')
    .map((part) => Number(part.trim() === '' ? Number.NaN : part));
  if (parts.length !== 3 || !parts.every((part) => part >= least && part <= most)) {
    throw fault(line, `"${shown(value)}" is no colour of three numbers ${least}–${most}`, 'correct the colour');
  }
  const byte = (part: number) =>
    Math.round(((part - least) / (most - least)) * 255)
      .toString(16)
      .padStart(2, '0');
  return `#${parts.map(byte).join('')}`;
}

/** Palette index of a colour given in figures, added where it is new. */
function indexOfColour(palette: Palette, colour: string): number {
  const known = palette.indexOf.get(colour);
  if (known !== undefined) return known;
  palette.indexOf.set(colour, palette.colours.length);
  palette.colours.push(colour);
  return palette.colours.length - 1;
}

/** "4", "4,255,0,0" or "255,0,0": an entry of the table, and the same in figures, or figures alone. */
function threadColour(value: string, palette: Palette, line: number): number {
  const parts = withoutComment(value).split(',');
  if (parts.length >= 3) return indexOfColour(palette, colourOf(parts.slice(-3).join(','), palette.range, line));
  const number = Number(parts[0]);
  if (parts.length === 1 && /^\d+$/u.test(parts[0].trim()) && number <= palette.colours.length) return number - 1;
  const what = `names colour "${shown(value)}", but the table holds ${palette.colours.length}`;
  throw fault(line, what, 'correct the number, or add the colour');
}

function readThreads(
  sections: InterchangeSections,
  set: 'WARP' | 'WEFT',
  most: number,
  palette: Palette,
  remarks: string[],
): InterchangeThreads {
  const section = sectionOf(sections, set);
  const thing = set === 'WARP' ? 'end' : 'pick';
  const count = wholeOf(entryOf(section, 'THREADS'), 1, most);
  const mm = unitOf(section, remarks, thing);
  const colour = section.entries.get('COLOR');
  const colours = numbered(sections.get(`${set} COLORS`), count, thing, ({ value, line }) =>
    threadColour(value, palette, line),
  );
  const byDefault = colour ? threadColour(colour.value, palette, colour.line) : -1;
  const lengths = (key: 'THICKNESS' | 'SPACING') => {
    const entry = section.entries.get(key);
    const given = entry ? lengthOf(entry, mm, MOST_MM) : Number.NaN;
    const each = numbered(sections.get(`${set} ${key}`), count, thing, (one) => lengthOf(one, mm, MOST_MM));
    return Float64Array.from({ length: count }, (_, i) => each.get(i + 1) ?? given);
  };
  return {
    count,
    colour: Int32Array.from({ length: count }, (_, i) => colours.get(i + 1) ?? byDefault),
    thicknessMm: lengths('THICKNESS'),
    spacingMm: lengths('SPACING'),
  };
}

function unitOf(section: InterchangeSection, remarks: string[], thing: string): number {
  const entry = section.entries.get('UNITS');
  if (!entry) {
    const lengths = section.entries.has('SPACING') || section.entries.has('THICKNESS');
    if (lengths) remarks.push(`The lengths of ${thing}s have no unit; centimetres are taken.`);
    return MM_OF_UNIT.centimeters;
  }
  const unit = withoutComment(entry.value).toLowerCase();
  if (Object.hasOwn(MM_OF_UNIT, unit)) return MM_OF_UNIT[unit as InterchangeUnit];
  throw fault(entry.line, `Units are "${shown(entry.value)}"`, 'use decipoints, inches or centimeters');
}
