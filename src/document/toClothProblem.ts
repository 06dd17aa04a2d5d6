import { type ClothProblem, RowEnd, RowTails } from '#engine/cloth/clothTypes.ts';
import { closedUp, evenPlaces, reedMarksClosed } from '#engine/cloth/reed/closing.ts';
import { spreadTension } from '#engine/cloth/reed/tensionSpread.ts';
import { tensionLeftByPick } from '#engine/cloth/spacing/pause.ts';
import { arcLength } from '#engine/cloth/spacing/weftArc.ts';
import { beatOfLoom } from '#engine/cloth/swatch/loomBeat.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { type DraftRemark, remarksOnDraft, type TreadledBy } from '#engine/draft/draftRemarks.ts';
import type { LiftPlan, Threading } from '#engine/draft/draftTypes.ts';
import { liftPlanFromShafts, liftPlanFromTieUp, tieUpFromShafts } from '#engine/draft/liftPlan.ts';
import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { bundleBody } from '#engine/yarn/bundleBody.ts';
import { beatenStrip, type StripPress } from '#engine/yarn/strip.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { beatThatStripsNeed, pushOnRows, stripPress } from './beatenStrips.ts';
import { passSpan } from './check/checkPasses.ts';
import { dentsOfWarp } from './notation/denting.ts';
import { type EndOrder, parseEndOrder } from './notation/endOrder.ts';
import { slackOfEnds } from './notation/secondBeam.ts';
import { readThreading } from './notation/threading.ts';
import type { Outcome } from './problem.ts';
import type { WeftPass } from './schema/pickSchema.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import type { WarpCard } from './schema/warpSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';
import { liftsOnLoom, withCrossingFaults } from './wovenFaults.ts';

/**
 * Tension of ends let off slack from a second beam over that of the others: lightly weighted, so that their shed still
 * opens (common practice; the figure is an estimate).
 */
const SLACK_TENSION_SHARE = 0.3;

/** One kind of thread in the cloth: the yarn cards that lie together in it, in the order of its strands. */
export interface ClothMaterial {
  readonly body: YarnBody;
  readonly strands: readonly YarnCard[];
}

export interface SampleCloth {
  readonly problem: ClothProblem;
  /** Alongside `problem.yarns`. */
  readonly materials: readonly ClothMaterial[];
  /** Index of the pass within its pick, per row: with `rowPick` it leads from a row back to the document. */
  readonly rowPass: Uint16Array;
  /** What can be woven but is seldom meant. */
  readonly remarks: readonly DraftRemark[];
}

/**
 * What the engine weaves from a sample: rows (one a pass), ends, who is uppermost at each crossing, thread sizes,
 * tensions and the beat. The sample must have passed `checkSampleBody`.
 * @throws Error where it has not.
 */
export function toClothProblem(body: SampleBody): SampleCloth {
  const { warp, picks } = body;
  const { threading, order } = readWarp(warp);
  const ends = threading.length;
  const { liftPlan, treadled } = readLifts(body);
  const lifted = liftsOnLoom(body, liftPlan, treadled);
  const rows = picks.reduce((sum, pick) => sum + pick.passes.length, 0);
  const warpYarns = new MaterialList(body.yarns);

  const rowLifts: LiftPlan = new Uint32Array(2 * rows);
  const rowPick = new Uint32Array(rows);
  const rowPass = new Uint16Array(rows);
  const rowFirst = new Uint32Array(rows);
  const rowLast = new Uint32Array(rows);
  const rowEntersRight = new Uint8Array(rows);
  const rowEnd = new Uint8Array(rows);
  const rowTailMm = new Float32Array(rows);
  const rowTails = new Uint8Array(rows);

  const endPalette = order.palette.map((strands) => warpYarns.indexOf(strands));
  const endYarn = Uint16Array.from(order.index, (at) => endPalette[at]);
  let row = 0;
  picks.forEach((pick, pickIndex) => {
    pick.passes.forEach((pass: WeftPass, passIndex) => {
      const { from, to } = passSpan(pass, ends);
      rowLifts[2 * row] = lifted[2 * pickIndex];
      rowLifts[2 * row + 1] = lifted[2 * pickIndex + 1];
      rowPick[row] = pickIndex;
      rowPass[row] = passIndex;
      rowFirst[row] = from - 1;
      rowLast[row] = to - 1;
      rowEntersRight[row] = pass.enters === 'right' ? 1 : 0;
      rowEnd[row] = RowEnd[pass.ends];
      rowTailMm[row] = pass.tailMm ?? 0;
      rowTails[row] = RowTails[pass.tails ?? 'fringe'];
      row++;
    });
  });

  const places = endPlacesOf(warp, endYarn, warpYarns.list);
  const slack = slackOfEnds(warp);
  const onSecondBeam = (end: number) => slack !== undefined && slack[end] > 0;
  const tensionLeft = tensionLeftByPick(picks.map(({ pauseBeforeMin }) => pauseBeforeMin));
  const unlaid: ClothProblem = {
    rows,
    ends,
    drawdown: withCrossingFaults(body, computeDrawdown(threading, rowLifts), rowPick),
    yarns: [],
    endYarn,
    rowYarn: new Uint16Array(rows),
    rowPick,
    rowFirst,
    rowLast,
    rowEntersRight,
    rowEnd,
    rowTailMm,
    ...(rowTails.some((tails) => tails !== RowTails.fringe) ? { rowTails } : {}),
    endXMm: places.onLoomXMm,
    reedXMm: places.reedXMm,
    evenXMm: places.evenXMm,
    endTensionN: spreadTension(
      ends,
      warp.tensionCNPerEnd / 100,
      (warp.tensionSpreadPercent ?? 0) / 100,
      body.beat.seed,
    ).map((tension, end) => (onSecondBeam(end) ? SLACK_TENSION_SHARE * tension : tension)),
    ...(slack ? { endSlackShare: slack } : {}),
    // Laid slack; what a row holds once it is beaten in, each state says (cloth/states).
    rowTensionN: new Float64Array(rows),
    ...(body.beat.weftArcMm ? { weftSlackShare: arcLength(dentsOfWarp(warp).widthMm, body.beat.weftArcMm) - 1 } : {}),
    beat: {
      ...beatOfLoom(body.loom.calibration),
      ...(tensionLeft ? { tensionLeft } : {}),
      firmness: Float64Array.from(picks, (pick) => pick.beat ?? body.beat.firmness),
      scatterShare: body.beat.scatterPercent / 100,
      seed: body.beat.seed,
      ...(body.beat.fixedPicksPerCm === undefined ? {} : { fixedPicksPerCm: body.beat.fixedPicksPerCm }),
    },
  };
  const { problem, materials } = withWefts(body, unlaid, warpYarns);
  const remarks = remarksOnDraft({ shafts: body.loom.shafts, threading, liftPlan }, treadled);
  return { problem, materials, rowPass, remarks };
}

/** The same cloth with its wefts in it: each row's yarn, a strip as its row's beat leaves it. */
function withWefts(
  body: SampleBody,
  problem: ClothProblem,
  warpYarns: MaterialList,
): { readonly problem: ClothProblem; readonly materials: readonly ClothMaterial[] } {
  const rowStrands = body.picks.flatMap(({ passes }) => passes.map(({ strands }) => strands));
  const pushes = pushOnRows(problem);
  const press = stripPress(problem, bodiesOf(warpYarns));
  const woven = (timesAsHard: number) => {
    const materials = warpYarns.copy();
    const rowYarn = Uint16Array.from(rowStrands, (strands, row) =>
      materials.indexOf(strands, press(timesAsHard * pushes[row])),
    );
    return { problem: { ...problem, rowYarn, yarns: bodiesOf(materials) }, materials: materials.list };
  };
  const strips = rowStrands.some((strands) => strands.some((id) => body.yarns[id]?.shape === 'strip'));
  return woven(strips ? beatThatStripsNeed(body.beat, (timesAsHard) => woven(timesAsHard).problem) : 1);
}

const bodiesOf = ({ list }: MaterialList) => list.map((material) => material.body);

/** Where the ends of a warp lie, mm from the left edge of the cloth in the reed. */
export interface EndPlaces {
  /** On the loom, the reed's marks half closed. */
  readonly onLoomXMm: Float64Array;
  /** Between the wires of the reed. */
  readonly reedXMm: Float64Array;
  /** With no marks left. */
  readonly evenXMm: Float64Array;
}

function endPlacesOf(warp: WarpCard, endYarn: Uint16Array, yarns: readonly ClothMaterial[]): EndPlaces {
  const dented = dentsOfWarp(warp);
  const evenXMm = evenPlaces(dented);
  const shares = yarns.map(({ strands }) =>
    Math.min(...strands.map(({ compressibility }) => reedMarksClosed('onLoom', compressibility))),
  );
  const onLoomXMm = closedUp(dented.xMm, evenXMm, (end) => shares[endYarn[end]]);
  return { onLoomXMm, reedXMm: dented.xMm, evenXMm };
}

/** The shafts that rise at each pick, whichever way the loom is worked. */
export function readLifts(body: Pick<SampleBody, 'loom' | 'warp' | 'picks'>): {
  liftPlan: LiftPlan;
  treadled?: TreadledBy;
} {
  const lists = body.picks.map((pick) => pick.lift);
  const { control, shafts } = body.loom;
  if (control.kind === 'directLift') return { liftPlan: liftPlanFromShafts(lists, shafts) };
  const ties = body.warp.tieUp ?? [];
  const tieUp = tieUpFromShafts(ties, shafts, control.action);
  const treadling = setsFromLists(lists, ties.length, 'treadle', 'pick');
  return { liftPlan: liftPlanFromTieUp(tieUp, treadling), treadled: { tieUp, treadling } };
}

interface WarpRead {
  readonly threading: Threading;
  readonly order: EndOrder;
}

/** Warps seldom change while picks do; cards are frozen, so what was read once stays true. */
const warpsRead = new WeakMap<WarpCard, WarpRead>();

export function readWarp(warp: WarpCard): WarpRead {
  const known = warpsRead.get(warp);
  if (known) return known;
  const read = { threading: demand(readThreading(warp.threading)), order: demand(parseEndOrder(warp.order)) };
  if (Object.isFrozen(warp)) warpsRead.set(warp, read);
  return read;
}

function demand<Value>(outcome: Outcome<Value>): Value {
  if (outcome.ok) return outcome.value;
  throw new Error(`A sample that was not checked: ${outcome.problems[0].message}`);
}

/** The distinct threads of a cloth, numbered in order of first use. */
class MaterialList {
  readonly list: ClothMaterial[] = [];
  readonly #yarns: Readonly<Record<string, YarnCard>>;
  readonly #indexOf = new Map<string, number>();

  constructor(yarns: Readonly<Record<string, YarnCard>>) {
    this.#yarns = yarns;
  }

  copy(): MaterialList {
    const copy = new MaterialList(this.#yarns);
    copy.list.push(...this.list);
    for (const [key, index] of this.#indexOf) copy.#indexOf.set(key, index);
    return copy;
  }

  /** @param press of the beat on strips; left out of a warp, which is not beaten */
  indexOf(strands: readonly string[], press?: StripPress): number {
    const cards = strands.map((id) => {
      const card = this.#yarns[id];
      if (!card) throw new Error(`A sample that was not checked: there is no yarn "${id}".`);
      return card;
    });
    const facts = cards.map((card) => {
      const own = yarnFactsOf(card);
      return press ? beatenStrip(own, press) : own;
    });
    // A strip that lies otherwise is another thread.
    const key = facts.map(({ contactWidthMm }, k) => `${strands[k]} ${contactWidthMm ?? ''}`).join('+');
    const known = this.#indexOf.get(key);
    if (known !== undefined) return known;
    const bodies = facts.map(yarnBody);
    this.list.push({ body: bodies.length === 1 ? bodies[0] : bundleBody(bodies, strands), strands: cards });
    this.#indexOf.set(key, this.list.length - 1);
    return this.list.length - 1;
  }
}
