import { formatEndOrder } from '#document/notation/endOrder.ts';
import type { Outcome } from '#document/problem.ts';
import { sampleFromFile } from '#document/sampleFromFile.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import { LOOM_VERSION } from '#document/schema/loomSchema.ts';
import type { WeftPick } from '#document/schema/pickSchema.ts';
import { SAMPLE_FORMAT, SAMPLE_VERSION, type Sample } from '#document/schema/sampleSchema.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import { WARP_VERSION } from '#document/schema/warpSchema.ts';
import { YARN_VERSION, type YarnCard } from '#document/schema/yarnSchema.ts';
import { yarnOfCount } from '#document/yarnOfCount.ts';
import { threadWidthMm } from './draftOfSample.ts';
import type { InterchangeDraft, InterchangeThreads } from './interchangeDraft.ts';
import { reedOfRooms } from './reedOfRooms.ts';
import { singleThreading } from './singleThreading.ts';

/** Colour of threads that the file gives none: undyed. */
const NO_COLOUR = '#d9cfb8';
/** Where no spacing is told: 8 threads a centimetre, usual for 8/2 cotton in plain weave (common practice). */
const USUAL_ROOM_MM = 1.25;
/** Width over room of a yarn that suits its room: 80 % of the closest plain weave (common practice). */
const WIDTH_OF_ROOM = 0.4;
/** Looms of the shelf hold this, cN an end (from memory). */
const TENSION_RANGE_CN: [number, number] = [40, 150];

export interface SampleOfDraft {
  readonly sample: Sample;
  readonly remarks: readonly string[];
}

/**
 * A sample woven to the draft: a loom of its shafts and treadles, one yarn for each colour and width, spun like `base`.
 * What the format does not tell (fibre, beat, tension) is assumed, and told in the remarks.
 */
export function sampleOfDraft(draft: InterchangeDraft, base: YarnCard): Outcome<SampleOfDraft> {
  const remarks: string[] = [];
  const threading = singleThreading(draft);
  if (!threading.ok) return threading;
  remarks.push(...threading.value.remarks);
  const yarns = new YarnsOfDraft(draft, base);
  const warpIds = yarns.idsOf(draft.warp, 'end');
  const weftIds = yarns.idsOf(draft.weft, 'pick');
  remarks.push(
    `The file tells colours and widths only: every yarn is taken for ${base.fibre} spun like ${base.name}. Lay the right ones from the shelf.`,
  );
  const palette = [...new Set(warpIds)];
  const { reed, widthMm, evened } = reedOfRooms(draft.warp.spacingMm, USUAL_ROOM_MM);
  if (evened) remarks.push('The ends stand unevenly in the file; the reed here spaces them by their mean.');
  const { treadles, shafts } = draft;
  const tieUp = threading.value.tieUp;
  const loom: LoomCard = {
    format: 'forecloth-loom',
    version: LOOM_VERSION,
    id: 'drafted-loom',
    name: `the loom of the draft, ${shafts} shafts`,
    shafts: threading.value.shafts,
    control: tieUp
      ? { kind: 'treadles', treadles, action: draft.risingShed ? 'rising' : 'sinking' }
      : { kind: 'directLift' },
    weavingWidthMm: Math.min(Math.ceil(Math.max(widthMm * 1.1, 400)), 10_000),
    reedsDentsPerCm: [reed.dentsPerCm],
    tensionCNPerEnd: TENSION_RANGE_CN,
    provenance: { shafts: 'from the draft file', tensionCNPerEnd: 'from memory' },
  };
  const warp: WarpCard = {
    format: 'forecloth-warp',
    version: WARP_VERSION,
    id: 'drafted-warp',
    name: 'the warp of the draft',
    loomId: loom.id,
    ends: draft.warp.count,
    order: formatEndOrder({
      palette: palette.map((id) => [id]),
      index: Uint16Array.from(warpIds, (id) => palette.indexOf(id)),
    }),
    reed,
    threading: Array.from(threading.value.threading),
    ...(tieUp ? { tieUp: tieUp.map((shaftsTied) => [...shaftsTied]) } : {}),
    tensionCNPerEnd: 60,
  };
  let enters: 'left' | 'right' = 'left';
  const picks = threading.value.lifts.map((lift, i): WeftPick => {
    const pass = { strands: [weftIds[i]], enters, ends: 'selvedge' as const };
    enters = enters === 'left' ? 'right' : 'left';
    return { lift: [...lift], passes: [pass] };
  });
  const spacings = [...new Set(draft.weft.spacingMm)];
  const fixed = spacings.length === 1 && spacings[0] > 0 ? 10 / spacings[0] : undefined;
  if (fixed) remarks.push('Picks are spaced as the file says. Take the fixed picks away to see what a beat gives.');
  const file = sampleFromFile({
    format: SAMPLE_FORMAT,
    version: SAMPLE_VERSION,
    name: draft.title.trim() === '' ? 'a draft' : draft.title.slice(0, 120),
    ...(draft.notes.length > 0 ? { notes: draft.notes.join('\n').slice(0, 20_000) } : {}),
    hungThisWayUp: 'firstPickBelow',
    loom,
    warp,
    yarns: yarns.cards,
    beat: { firmness: 0.6, scatterPercent: 0, seed: 1, ...(fixed ? { fixedPicksPerCm: fixed } : {}) },
    ...(draft.foreign.length > 0 ? { foreignSections: draft.foreign } : {}),
    picks,
  });
  return file.ok ? { ok: true, value: { sample: file.value, remarks } } : file;
}

/** One yarn for each colour and width of a draft, shared by warp and weft. */
class YarnsOfDraft {
  readonly cards: Record<string, YarnCard> = {};
  private readonly draft: InterchangeDraft;
  private readonly base: YarnCard;
  private readonly idOf = new Map<string, string>();

  constructor(draft: InterchangeDraft, base: YarnCard) {
    this.draft = draft;
    this.base = base;
  }

  idsOf({ colour, thicknessMm, spacingMm }: InterchangeThreads, what: 'end' | 'pick'): string[] {
    return Array.from(colour, (index, i) => {
      const room = Number.isNaN(spacingMm[i]) ? USUAL_ROOM_MM : spacingMm[i];
      const told = !Number.isNaN(thicknessMm[i]);
      const widthMm = Number((told ? thicknessMm[i] : room * WIDTH_OF_ROOM).toFixed(4));
      const shade = this.draft.palette[index] ?? NO_COLOUR;
      const key = `${shade} ${widthMm}`;
      const known = this.idOf.get(key);
      if (known) return known;
      const id = `yarn-${this.idOf.size + 1}`;
      this.idOf.set(key, id);
      this.cards[id] = this.cardOf(
        id,
        shade,
        widthMm,
        told ? 'from the draft file' : `assumed from the room of its ${what}`,
      );
      return id;
    });
  }

  private cardOf(id: string, coneColour: string, widthMm: number, source: string): YarnCard {
    // Widths go with the root of tex (F. T. Peirce 1937).
    const tex = Math.min(Math.max(this.base.tex * (widthMm / threadWidthMm(this.base)) ** 2, 0.5), 100_000);
    const { count: _count, left: _left, ...scaled } = yarnOfCount(this.base, tex);
    return {
      ...scaled,
      version: YARN_VERSION,
      id,
      name: `${this.base.fibre}, ${widthMm.toFixed(2)} mm, ${coneColour.slice(1)}`,
      coneColour,
      provenance: {
        ...scaled.provenance,
        card: `${this.base.id} of the shelf`,
        tex: source,
        coneColour: 'from the draft file',
      },
    };
  }
}
