import { type Outcome, problemAt } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { draftOfSample } from './draftOfSample.ts';
import type { InterchangeDraft } from './interchangeDraft.ts';
import type { InterchangeSection } from './interchangeSections.ts';
import { readInterchange } from './readInterchange.ts';
import { type SampleOfDraft, sampleOfDraft } from './sampleOfDraft.ts';
import { writeInterchange } from './writeInterchange.ts';

export const INTERCHANGE_EXTENSION = '.wif';

/** Our own section, as the specification has it: PRIVATE, whose it is, and a name. */
const OWN_TITLE = 'PRIVATE FORECLOTH SAMPLE';
/** Characters of it a line. */
const LINE_LENGTH = 160;

/**
 * The sample as draft interchange text. The draft stands where every reader looks for it; all else (yarns, beat, wefts
 * laid by hand, versions) stands in a section of our own, so that reading it back gives the same sample.
 */
export function writeSampleInterchange(sample: Sample): Outcome<string> {
  const draft = draftOfSample(sample);
  if (!draft.ok) return draft;
  const { foreignSections: _foreign, ...own } = sample;
  // The format is ASCII text: JSON has its own way to write the rest.
  const json = JSON.stringify(JSON.parse(writeSampleText(own))).replace(
    /[\u007f-\uffff]/gu,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  const lines: string[] = [];
  for (let at = 0; at < json.length; at += LINE_LENGTH) {
    // Bars hold the spaces at both ends of a line.
    lines.push(`${lines.length + 1}=|${json.slice(at, at + LINE_LENGTH)}|`);
  }
  const ascii = (text: string) =>
    text
      .normalize('NFKD')
      .replace(/\p{Mark}+/gu, '')
      .replace(/[^\x20-\x7e]/gu, '?');
  const { title, notes, foreign } = draft.value;
  const text = writeInterchange({
    ...draft.value,
    title: ascii(title),
    notes: notes.map(ascii),
    foreign: [...foreign, { title: OWN_TITLE, lines }],
  });
  return { ok: true, value: text };
}

/**
 * The sample that draft interchange text holds. Where our own section is there and the draft is still its draft, the
 * very sample that was written; where the draft was changed since, its lifts are taken into that sample, or, where
 * threads changed, a new sample is made of the draft. `base`: the yarn that unknown ones are spun like.
 */
export function readSampleInterchange(text: string, base: YarnCard): Outcome<SampleOfDraft> {
  const read = readInterchange(text);
  if (!read.ok) return read;
  const { sections, remarks } = read.value;
  const own = sections.get(OWN_TITLE);
  const foreign = read.value.draft.foreign.filter(({ title }) => title.toUpperCase() !== OWN_TITLE);
  const draft: InterchangeDraft = { ...read.value.draft, foreign };
  if (!own) return withRemarks(sampleOfDraft(draft, base), remarks);
  const kept = readOwn(own);
  if (!kept.ok) {
    const lost = `What this program kept in the file beside the draft cannot be read (${kept.problems[0].message}); the draft alone is taken.`;
    return withRemarks(sampleOfDraft(draft, base), [...remarks, lost]);
  }
  const sample: Sample = foreign.length > 0 ? { ...kept.value, foreignSections: [...foreign] } : kept.value;
  const before = draftOfSample(sample);
  if (!before.ok) return before;
  if (sameThreads(before.value, draft)) {
    const lifts = draft.treadling ?? draft.liftPlan ?? [];
    const was = before.value.treadling ?? before.value.liftPlan ?? [];
    if (lifts.every((lift, i) => lift.join() === was[i].join())) return { ok: true, value: { sample, remarks } };
    const picks = sample.picks.map((pick, i) =>
      lifts[i].join() === was[i].join() ? pick : { ...pick, lift: [...lifts[i]] },
    );
    const changed =
      'The lifts were changed since this program wrote the file; they are taken, and all else is as it was.';
    return { ok: true, value: { sample: { ...sample, picks }, remarks: [...remarks, changed] } };
  }
  const changed =
    'The threads were changed since this program wrote the file, so the sample is made anew from the draft.';
  return withRemarks(sampleOfDraft(draft, base), [...remarks, changed]);
}

function withRemarks(outcome: Outcome<SampleOfDraft>, remarks: readonly string[]): Outcome<SampleOfDraft> {
  if (!outcome.ok) return outcome;
  return { ok: true, value: { ...outcome.value, remarks: [...remarks, ...outcome.value.remarks] } };
}

function readOwn(section: InterchangeSection): Outcome<Sample> {
  const parts: string[] = [];
  for (const [key, { value, line }] of section.entries) {
    if (Number(key) !== parts.length + 1 || !/^\|.*\|$/su.test(value)) {
      return { ok: false, problems: [problemAt(['line', line - 1], 'is out of order', 'fetch the file again')] };
    }
    parts.push(value.slice(1, -1));
  }
  return readSampleText(parts.join(''));
}

/** Everything but lifts: counts, colours, rooms, widths, threading, tie-up. */
function sameThreads(a: InterchangeDraft, b: InterchangeDraft): boolean {
  return threadsInWords(a) === threadsInWords(b);
}

/** Compared in the figures that a file holds, through which the threads of one side have passed. */
function threadsInWords(draft: InterchangeDraft): string {
  const empty = new Array(draft.weft.count).fill([]);
  return writeInterchange({
    ...draft,
    title: '',
    notes: [],
    foreign: [],
    treadling: draft.treadling && empty,
    liftPlan: draft.liftPlan && empty,
  });
}
