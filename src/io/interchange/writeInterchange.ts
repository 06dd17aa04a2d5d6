import type { InterchangeDraft, InterchangeThreads } from './interchangeDraft.ts';

/** The address that the specification asks every file to name. */
const DEVELOPERS = 'wif@mhsoft.com';

/**
 * The draft as text of the Weaving Information File specification 1.1 (1997). Stable: the same draft gives the same
 * characters. What most threads share stands once, at their set; the rest thread by thread.
 */
export function writeInterchange(draft: InterchangeDraft): string {
  const parts: { title: string; lines: readonly string[] }[] = [];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) parts.push({ title, lines });
  };
  add('WEAVING', [
    `Shafts=${draft.shafts}`,
    `Treadles=${draft.treadles}`,
    `Rising Shed=${draft.risingShed ? 'yes' : 'no'}`,
  ]);
  add('TEXT', draft.title === '' ? [] : [`Title=${oneLine(draft.title)}`]);
  add(
    'NOTES',
    draft.notes.map((note, i) => `${i + 1}=${oneLine(note)}`),
  );
  if (draft.palette.length > 0) {
    add('COLOR PALETTE', [`Entries=${draft.palette.length}`, 'Form=RGB', 'Range=0,255']);
    add(
      'COLOR TABLE',
      draft.palette.map((colour, i) => `${i + 1}=${bytesOf(colour).join(',')}`),
    );
  }
  for (const [set, threads] of [
    ['WARP', draft.warp],
    ['WEFT', draft.weft],
  ] as const) {
    const shared = sharedOf(threads);
    const has = (value: number) => !Number.isNaN(value) && value >= 0;
    add(set, [
      `Threads=${threads.count}`,
      ...(has(shared.colour) ? [`Color=${shared.colour + 1}`] : []),
      'Units=Centimeters',
      ...(has(shared.spacingMm) ? [`Spacing=${centimetres(shared.spacingMm)}`] : []),
      ...(has(shared.thicknessMm) ? [`Thickness=${centimetres(shared.thicknessMm)}`] : []),
    ]);
    const others = (values: ArrayLike<number>, common: number, inWords: (value: number) => string) =>
      Array.from(values).flatMap((value, i) => (value !== common && has(value) ? [`${i + 1}=${inWords(value)}`] : []));
    add(
      `${set} COLORS`,
      others(threads.colour, shared.colour, (index) => `${index + 1}`),
    );
    add(`${set} THICKNESS`, others(threads.thicknessMm, shared.thicknessMm, centimetres));
    add(`${set} SPACING`, others(threads.spacingMm, shared.spacingMm, centimetres));
  }
  add('THREADING', listed(draft.threading));
  if (draft.tieUp && draft.treadling) {
    // A tie-up without ties still is one.
    parts.push({ title: 'TIEUP', lines: listed(draft.tieUp) }, { title: 'TREADLING', lines: listed(draft.treadling) });
  }
  if (draft.liftPlan) parts.push({ title: 'LIFTPLAN', lines: listed(draft.liftPlan) });
  parts.push(...draft.foreign);

  const head = [
    '[WIF]',
    'Version=1.1',
    'Date=April 20, 1997',
    `Developers=${DEVELOPERS}`,
    'Source Program=Forecloth',
    '',
  ];
  const contents = ['[CONTENTS]', ...parts.map(({ title }) => `${title}=yes`), ''];
  const body = parts.flatMap(({ title, lines }) => [`[${title}]`, ...lines, ...(lines.at(-1) === '' ? [] : [''])]);
  return [...head, ...contents, ...body].join('\r\n');
}

/** A thread on no shaft, and a pick that lifts none, are left out: that is what a missing entry says. */
function listed(lists: readonly (readonly number[])[]): string[] {
  return lists.flatMap((members, i) => (members.length > 0 ? [`${i + 1}=${members.join(',')}`] : []));
}

function oneLine(text: string): string {
  return text.replace(/[\r\n]+/gu, ' ');
}

/** Lengths to 0.1 µm, without trailing noughts. */
function centimetres(mm: number): string {
  return String(Number((mm / 10).toFixed(5)));
}

function bytesOf(colour: string): number[] {
  return [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16));
}

/** The commonest colour, thickness and spacing. NaN or -1 only where it is the same for all: a default speaks for all. */
function sharedOf(threads: InterchangeThreads): { colour: number; thicknessMm: number; spacingMm: number } {
  return {
    colour: commonest(threads.colour, (value) => value < 0) ?? -1,
    thicknessMm: commonest(threads.thicknessMm, Number.isNaN) ?? Number.NaN,
    spacingMm: commonest(threads.spacingMm, Number.isNaN) ?? Number.NaN,
  };
}

/** Undefined where any value is unknown: a default would claim it. */
function commonest(values: ArrayLike<number>, unknown: (value: number) => boolean): number | undefined {
  const counts = new Map<number, number>();
  for (let i = 0; i < values.length; i++) {
    if (unknown(values[i])) return undefined;
    counts.set(values[i], (counts.get(values[i]) ?? 0) + 1);
  }
  return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0];
}
