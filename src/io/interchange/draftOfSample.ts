import { dentsOfWarp, parseDenting } from '#document/notation/denting.ts';
import { parseEndOrder } from '#document/notation/endOrder.ts';
import { readThreading } from '#document/notation/threading.ts';
import type { Outcome } from '#document/problem.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { roundDiameterMm } from '#engine/yarn/diameter.ts';
import type { InterchangeDraft, InterchangeThreads } from './interchangeDraft.ts';

/** Width of a yarn as it lies in cloth, mm: what the format calls its thickness. */
export function threadWidthMm(yarn: YarnCard): number {
  if (yarn.contactWidthMm !== undefined) return yarn.contactWidthMm;
  if (yarn.shape === 'strip' && yarn.stripWidthMm !== undefined) return yarn.stripWidthMm;
  return roundDiameterMm(yarn.tex, yarn.packingFraction, yarn.fibreDensityGPerCm3);
}

/**
 * What of a sample the interchange format can say: draft, colours, widths and rooms of threads. Of strands that lie
 * together it tells the first one's colour and their joint width, of a pick with several wefts the first of full width.
 */
export function draftOfSample(body: SampleBody): Outcome<InterchangeDraft> {
  const order = parseEndOrder(body.warp.order);
  if (!order.ok) return order;
  const threading = readThreading(body.warp.threading);
  if (!threading.ok) return threading;
  const palette: string[] = [];
  const colourOf = (id: string) => {
    const colour = body.yarns[id].coneColour.toLowerCase();
    const at = palette.indexOf(colour);
    return at >= 0 ? at : palette.push(colour) - 1;
  };
  const thread = (strands: readonly string[]) => ({
    colour: colourOf(strands[0]),
    // Strands side by side: a bundle of n of area d² each is about √n of their widths across.
    thicknessMm: Math.hypot(...strands.map((id) => threadWidthMm(body.yarns[id]))),
  });
  const ends = order.value.palette.map(thread);
  const wefts = body.picks.map((pick) =>
    thread(
      (pick.passes.find((pass) => pass.fromEnd === undefined && pass.toEnd === undefined) ?? pick.passes[0]).strands,
    ),
  );
  const { control } = body.loom;
  const lifts = body.picks.map((pick) => [...pick.lift].sort((a, b) => a - b));
  const treadled = control.kind === 'treadles';
  return {
    ok: true,
    value: {
      title: body.name,
      notes: body.notes === undefined || body.notes === '' ? [] : body.notes.split('\n'),
      shafts: body.loom.shafts,
      treadles: treadled ? control.treadles : 0,
      risingShed: !treadled || control.action === 'rising',
      palette,
      warp: threads(
        Array.from(order.value.index, (at) => ends[at]),
        roomsOfEnds(body),
      ),
      weft: threads(
        wefts,
        wefts.map(() => (body.beat.fixedPicksPerCm ? 10 / body.beat.fixedPicksPerCm : Number.NaN)),
      ),
      threading: Array.from(threading.value, (shaft) => (shaft > 0 ? [shaft] : [])),
      tieUp: treadled
        ? Array.from({ length: control.treadles }, (_, i) => [...(body.warp.tieUp?.[i] ?? [])].sort((a, b) => a - b))
        : undefined,
      treadling: treadled ? lifts : undefined,
      liftPlan: treadled ? undefined : lifts,
      foreign: body.foreignSections ?? [],
    },
  };
}

function threads(
  each: readonly { readonly colour: number; readonly thicknessMm: number }[],
  spacingMm: readonly number[],
): InterchangeThreads {
  return {
    count: each.length,
    colour: Int32Array.from(each, ({ colour }) => colour),
    thicknessMm: Float64Array.from(each, ({ thicknessMm }) => thicknessMm),
    spacingMm: Float64Array.from(spacingMm),
  };
}

/** Room of each end in the reed, mm: its share of its dent, and the empty dents before it. */
function roomsOfEnds({ warp }: SampleBody): number[] {
  const denting = parseDenting(warp.reed.endsPerDent);
  const dentMm = 10 / warp.reed.dentsPerCm;
  if (!denting.ok) return new Array(warp.ends).fill(dentsOfWarp(warp).widthMm / warp.ends);
  const rooms: number[] = [];
  let emptyMm = 0;
  for (let dent = 0; rooms.length < warp.ends; dent++) {
    const inDent = denting.value[dent % denting.value.length];
    if (inDent === 0) emptyMm += dentMm;
    for (let k = 0; k < inDent && rooms.length < warp.ends; k++) {
      rooms.push(dentMm / inDent + emptyMm);
      emptyMm = 0;
    }
  }
  return rooms;
}
