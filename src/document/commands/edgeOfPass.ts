import { dentsOfWarp } from '#document/notation/denting.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import type { WeftPass } from '#document/schema/pickSchema.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { metresLeft } from '#engine/yarn/leftYarn.ts';
import { turnsAtEdge } from '#engine/yarn/turning.ts';

/** What stands out at each edge where nothing else is said, mm. */
export const USUAL_TAIL_MM = 20;

type Cards = Readonly<Record<string, YarnCard>>;

/** Strands that will not go round the edge; one is enough to have the pick cut. */
export function strandsThatCannotTurn(strands: readonly string[], yarns: Cards): readonly YarnCard[] {
  return strands.flatMap((id) => {
    const card = yarns[id];
    return card && !turnsAtEdge(card.bendingNmm2) ? [card] : [];
  });
}

/** Whether a pass runs from edge to edge. */
export function isAcross(pass: WeftPass): boolean {
  return pass.fromEnd === undefined && pass.toEnd === undefined;
}

/** The pass cut at both edges, with its tails. */
export function cutAtEdges(pass: WeftPass, tailMm: number, tails: NonNullable<WeftPass['tails']>): WeftPass {
  const { tails: _tails, ...rest } = pass;
  return { ...rest, ends: 'cut', tailMm, ...(tails === 'fringe' ? {} : { tails }) };
}

/** The pass taken round the edge again. */
export function turnedAtEdges(pass: WeftPass): WeftPass {
  const { tails: _tails, tailMm: _tailMm, ...rest } = pass;
  return { ...rest, ends: 'selvedge' };
}

/**
 * A pass across the web with other strands: what cannot turn is cut each pick, and one that was cut for that reason alone
 * turns again.
 */
export function edgesFor(pass: WeftPass, before: readonly string[], yarns: Cards): WeftPass {
  if (!isAcross(pass)) return pass;
  const stiff = strandsThatCannotTurn(pass.strands, yarns).length > 0;
  if (stiff && pass.ends === 'selvedge') return cutAtEdges(pass, USUAL_TAIL_MM, 'fringe');
  if (!stiff && pass.ends === 'cut' && strandsThatCannotTurn(before, yarns).length > 0) return turnedAtEdges(pass);
  return pass;
}

/** Ends that a length of weft passes, its tails apart; at least one, and no more than there are. */
export function endsReached({ warp }: SampleBody, lengthMm: number, tailMm: number): number {
  const pitchMm = dentsOfWarp(warp).widthMm / warp.ends;
  return Math.max(1, Math.min(warp.ends, Math.floor((lengthMm - 2 * tailMm) / pitchMm)));
}

/** Why strands cannot be laid right across: what is left of one is shorter than the web. */
export function shortWeftProblem(sample: SampleBody, strands: readonly string[]): DocumentProblem | null {
  const webMm = dentsOfWarp(sample.warp).widthMm;
  for (const id of strands) {
    const card = sample.yarns[id];
    const left = card && metresLeft(card);
    if (!left || left.high === 0 || left.high * 1000 >= webMm) continue;
    const cm = (mm: number) => `${Math.round(mm / 10)} cm`;
    return problemAt(
      ['yarns', id],
      `is ${cm(1000 * left.value)} long, and the web in the reed is ${cm(webMm)} wide`,
      'lay it in over part of the width (Only here…), join it to another length and note what there is then, or weave narrower',
    );
  }
  return null;
}
