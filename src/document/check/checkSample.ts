import { dentsOfWarp, parseDenting } from '#document/notation/denting.ts';
import { parseEndOrder } from '#document/notation/endOrder.ts';
import { parseSecondBeam } from '#document/notation/secondBeam.ts';
import { readThreading } from '#document/notation/threading.ts';
import { type DocumentProblem, type PlacePath, problemAt, problemsUnder } from '#document/problem.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { checkPasses } from './checkPasses.ts';

type Yarns = Readonly<Record<string, YarnCard>>;

/** What fits together and what does not, beyond what each field may hold. Empty when the sample can be woven. */
export function checkSampleBody(body: SampleBody): DocumentProblem[] {
  return [
    ...checkYarns(body.yarns, ['yarns']),
    ...problemsUnder(['loom'], checkLoom(body.loom)),
    ...problemsUnder(['warp'], checkWarp(body.warp, body.loom, body.yarns)),
    ...checkPicks(body),
    ...checkFaults(body),
  ];
}

/** A loom card by itself. */
export function checkLoom(loom: LoomCard): DocumentProblem[] {
  const treadles = loom.control.kind === 'treadles' ? loom.control.treadles : 0;
  return (loom.knownFaults ?? []).flatMap((fault, i) => {
    const path = ['knownFaults', i];
    if (fault.shaft !== undefined && fault.shaft > loom.shafts) {
      return [problemAt(path, `names shaft ${fault.shaft}, but the loom has ${loom.shafts}`, 'correct the shaft')];
    }
    if (fault.effect !== undefined && (fault.effect === 'movesNothing') !== (fault.treadle !== undefined)) {
      const what =
        fault.treadle === undefined
          ? 'moves nothing, as a treadle does, but names none'
          : 'makes a treadle stay up or down';
      return [problemAt(path, what, 'name a treadle that moves nothing, or a shaft or end that stays')];
    }
    if (fault.effect !== undefined && [fault.shaft, fault.treadle, fault.end].every((each) => each === undefined)) {
      return [problemAt(path, 'has an effect, but names no shaft, treadle or end', 'name one')];
    }
    if (fault.treadle !== undefined && fault.treadle > treadles) {
      return [problemAt(path, `names treadle ${fault.treadle}, but the loom has ${treadles}`, 'correct the treadle')];
    }
    return [];
  });
}

function checkYarns(yarns: Yarns, path: PlacePath): DocumentProblem[] {
  return Object.entries(yarns)
    .filter(([id, yarn]) => yarn.id !== id)
    .map(([id, yarn]) => problemAt([...path, id], `holds a card with the id "${yarn.id}"`, 'give both the same id'));
}

/** A warp on a loom; with a file of its own, its loom may be unknown (null). Yarns: the sample's, or the warp's own. */
export function checkWarp(warp: WarpCard, loom: LoomCard | null, yarns: Yarns): DocumentProblem[] {
  const problems = warp.yarns ? checkYarns(warp.yarns, ['yarns']) : [];
  const order = parseEndOrder(warp.order);
  if (!order.ok) problems.push(...problemsUnder(['order'], order.problems));
  else {
    const { index, palette } = order.value;
    if (index.length !== warp.ends) problems.push(countProblem(['order'], index.length, warp.ends));
    for (const id of new Set(palette.flat())) {
      if (!Object.hasOwn(yarns, id)) {
        problems.push(
          problemAt(['order'], `uses yarn "${id}", which is not here`, 'add the yarn, or correct the order'),
        );
      }
    }
  }
  const threading = readThreading(warp.threading);
  if (!threading.ok) problems.push(...problemsUnder(['threading'], threading.problems));
  else {
    if (threading.value.length !== warp.ends)
      problems.push(countProblem(['threading'], threading.value.length, warp.ends));
    const shafts = loom?.shafts ?? 64;
    const end = threading.value.findIndex((shaft) => shaft > shafts);
    if (end >= 0) {
      const what = `draws end ${end + 1} on shaft ${threading.value[end]}, but the loom has ${shafts} shafts`;
      problems.push(problemAt(['threading'], what, 'redraw the end, or put the warp on another loom'));
    }
  }
  const denting = parseDenting(warp.reed.endsPerDent);
  if (!denting.ok) problems.push(...problemsUnder(['reed', 'endsPerDent'], denting.problems));
  if (warp.secondBeam) {
    const beams = parseSecondBeam(warp.secondBeam.ends);
    if (!beams.ok) problems.push(...problemsUnder(['secondBeam', 'ends'], beams.problems));
  }
  if (loom) problems.push(...checkOnLoom(warp, loom, denting.ok));
  return problems;
}

function countProblem(path: PlacePath, given: number, ends: number): DocumentProblem {
  return problemAt(path, `gives ${given} ends, but the warp has ${ends}`, 'make the two agree');
}

function checkOnLoom(warp: WarpCard, loom: LoomCard, dented: boolean): DocumentProblem[] {
  const problems: DocumentProblem[] = [];
  const { control } = loom;
  if (control.kind === 'directLift') {
    if (warp.tieUp) {
      problems.push(
        problemAt(
          ['tieUp'],
          'is given, but this loom lifts its shafts directly',
          'remove it, or choose a treadle loom',
        ),
      );
    }
  } else if (!warp.tieUp) {
    problems.push(
      problemAt(
        ['tieUp'],
        `is missing, and this loom has ${control.treadles} treadles`,
        'list the shafts tied to each treadle',
      ),
    );
  } else {
    if (warp.tieUp.length > control.treadles) {
      const what = `ties ${warp.tieUp.length} treadles, but the loom has ${control.treadles}`;
      problems.push(problemAt(['tieUp'], what, 'leave out the treadles that are not there'));
    }
    warp.tieUp.forEach((tied, i) => {
      const shaft = tied.find((number) => number > loom.shafts);
      if (shaft === undefined) return;
      problems.push(
        problemAt(
          ['tieUp', i],
          `is tied to shaft ${shaft}, but the loom has ${loom.shafts}`,
          'tie it to a shaft that is there',
        ),
      );
    });
  }
  const widthMm = dented ? dentsOfWarp(warp).widthMm : 0;
  if (widthMm > loom.weavingWidthMm) {
    const what = `makes the warp ${Math.round(widthMm)} mm wide in the reed, but the loom weaves ${loom.weavingWidthMm} mm`;
    problems.push(problemAt(['reed'], what, 'sley it closer, or take fewer ends'));
  }
  return problems;
}

/** Highest number that a lift may name, and what the number means on this loom. */
export function liftLimit(body: SampleBody): { most: number; thing: 'shaft' | 'treadle' } {
  if (body.loom.control.kind === 'directLift') return { most: body.loom.shafts, thing: 'shaft' };
  return { most: body.warp.tieUp?.length ?? 0, thing: 'treadle' };
}

/** One pick against the loom, the warp's width and the yarns at hand; `pickIndex` is 0-based. */
export function checkPick(body: SampleBody, pickIndex: number): DocumentProblem[] {
  const pick = body.picks[pickIndex];
  const problems: DocumentProblem[] = [];
  const { most, thing } = liftLimit(body);
  for (const number of pick.lift) {
    if (number <= most) continue;
    const what = `names ${thing} ${number}, but there are ${most}`;
    problems.push(problemAt(['picks', pickIndex, 'lift'], what, `name ${thing}s 1 to ${most}`));
    break;
  }
  pick.passes.forEach((pass, passIndex) => {
    const id = pass.strands.find((strand) => !Object.hasOwn(body.yarns, strand));
    if (id === undefined) return;
    const path = ['picks', pickIndex, 'passes', passIndex, 'strands'];
    problems.push(problemAt(path, `uses yarn "${id}", which is not here`, 'add the yarn, or choose another'));
  });
  problems.push(...checkPasses(pick, body.warp.ends, pickIndex));
  return problems;
}

/** Faults lie at ends and picks that are there. */
function checkFaults({ faults, picks, warp }: SampleBody): DocumentProblem[] {
  return (faults ?? []).flatMap((fault, i) => {
    const pick = fault.kind === 'skippedEnd' ? fault.pick : Math.max(fault.fromPick, fault.toPick ?? 1);
    const path = ['faults', i];
    if (fault.end > warp.ends) {
      return [
        problemAt(path, `is at end ${fault.end}, but the warp has ${warp.ends}`, 'correct the end, or remove it'),
      ];
    }
    if (pick > picks.length) {
      return [problemAt(path, `is at pick ${pick}, but there are ${picks.length}`, 'correct the pick, or remove it')];
    }
    return [];
  });
}

function checkPicks(body: SampleBody): DocumentProblem[] {
  return body.picks.flatMap((_, i) => checkPick(body, i));
}
