import { describe, expect, it } from 'vitest';
import { ClothError } from '#engine/cloth/clothError.ts';
import type { ClothProblem, Progress } from '#engine/cloth/clothTypes.ts';
import { together } from '#engine/cloth/crew.ts';
import { fieldsByKinds, type KindsMemory } from '#engine/cloth/forecast/fieldsByKinds.ts';
import { fieldsByTiles } from '#engine/cloth/forecast/fieldsByTiles.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { chooseRegion } from '#engine/cloth/forecast/regionProblem.ts';
import { type PartJob, solvePart } from '#engine/cloth/forecast/solvePart.ts';
import { planTiles } from '#engine/cloth/forecast/tilePlan.ts';
import { laySome } from '#engine/cloth/kinds/kindFields.ts';
import { Scratch } from '#engine/cloth/scratch.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { packCloth, packInSteps } from '#engine/packing/packCloth.ts';
import { PackingError } from '#engine/packing/packedCloth.ts';
import { shadedPicture } from '#tests/helpers/benchCloths.ts';
import { strandOf } from '#tests/helpers/clothFixtures.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { ForecastRunner } from '#workers/forecastRunner.ts';
import { Hand } from '#workers/hand.ts';
import type { ToHand } from '#workers/handProtocol.ts';
import type { ForecastMessage } from '#workers/protocol.ts';
import { errorOf, troubleOf } from '#workers/trouble.ts';
import { type HandPort, WorkerCrew } from '#workers/workerCrew.ts';

function picture(rows: number, ends: number): ClothProblem {
  const yarn = roundBody('20/2', 0.287, 0.0082, 59.05);
  const weave = shadedPicture(rows, ends);
  return clothProblem({ weave, rows, ends, endsPerCm: 16, warp: [yarn], weft: [yarn] });
}

const later = () => new Promise<void>((resolve) => setTimeout(resolve, 0));

/** A hand in this thread that is told and tells everything by copies, as one in another is. */
function handHere(told: ToHand[] = []): HandPort {
  let time = 0;
  const port: HandPort = {
    onmessage: null,
    onerror: null,
    terminate: () => {},
    postMessage: (message, transfer) => {
      told.push(message);
      const copy = structuredClone(message, { transfer });
      setTimeout(() => hand.hear(copy), 0);
    },
  };
  const hand = new Hand({
    post: (message, transfer) => {
      const data = structuredClone(message, { transfer });
      setTimeout(() => port.onmessage?.({ data }), 0);
    },
    breathe: later,
    // It looks at its messages every few steps.
    now: () => {
      time += 7;
      return time;
    },
  });
  return port;
}

async function withWaits<Result>(steps: Generator<Progress, Result>): Promise<Result> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    await step.value.until;
  }
}

function partOf(rows: number): PartJob {
  const problem = picture(rows, 12);
  return { problem, rowYMm: rowPositions(problem, false).rowYMm, quality: 'preview' };
}

describe('a crew', () => {
  it('finds the same cloth, number for number, however many there are', async () => {
    const problem = picture(200, 160);
    const { rowYMm } = rowPositions(problem, false);
    const tiles = planTiles(problem, chooseRegion(problem), rowYMm) ?? [];
    expect(tiles.length).toBeGreaterThan(1);
    const alone = finish(fieldsByTiles(problem, rowYMm, 'preview', tiles, [], undefined));
    for (const hands of [2, 3]) {
      const crew = new WorkerCrew(hands, () => handHere());
      const found = await withWaits(fieldsByTiles(problem, rowYMm, 'preview', tiles, [], crew));
      expect(found).toEqual(alone);
    }
  });

  it.each([
    ['long', 530, 24],
    ['broad', 40, 530],
  ])('lays a %s cloth out for the picture as one thread does, number for number', async (_name, rows, ends) => {
    const problem = picture(rows, ends);
    const { geometry } = finish(forecastCloth(problem, 'preview'));
    const { warp, weft } = geometry;
    // Threads that lie beside their lines and stop short: every field has something to say.
    const offsetMm = warp.heightMm.map((_, k) => 0.05 * Math.sin(k));
    const gone = Uint8Array.from(weft.heightMm, (_, k) => (k % 97 === 0 ? 1 : 0));
    const moved = { ...geometry, warp: { ...warp, offsetMm }, weft: { ...weft, gone } };
    const materials = problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] }));
    const alone = packCloth(problem, moved, materials);
    for (const [hands, shares] of [
      [2, true],
      [3, false],
    ] as const) {
      const crew = new WorkerCrew(hands, () => handHere(), shares);
      expect(await withWaits(packInSteps(problem, moved, materials, 0, [], crew))).toEqual(alone);
    }
  });

  it('finds the same kinds of crossing and lays them out alike, number for number', async () => {
    const problem = picture(150, 110);
    const { rowYMm } = rowPositions(problem, false);
    const materials = problem.yarns.map(() => ({ strands: [strandOf([0.5, 0.4, 0.3])] }));
    const packed = async (crew?: WorkerCrew) => {
      const memory: KindsMemory = {};
      const found = await withWaits(fieldsByKinds(problem, rowYMm, rowYMm, memory, crew));
      if (!found) throw new Error('no kinds');
      const { byKinds, residuals } = found;
      const { held, ...fields } = finish(laySome(byKinds));
      const geometry = {
        ...{ rows: 150, ends: 110, periodRows: 150, periodEnds: 110, residuals, ...fields },
        ...{ endXMm: Float32Array.from(problem.endXMm), rowYMm: Float32Array.from(rowYMm) },
        byKinds: { fields: byKinds, held },
      };
      return { plan: memory.plan, cloth: await withWaits(packInSteps(problem, geometry, materials, 0, [], crew)) };
    };
    const alone = await packed();
    expect(alone.plan?.bands.length).toBeGreaterThan(2);
    for (const shares of [true, false]) {
      const cloth = await packed(new WorkerCrew(3, () => handHere(), shares));
      expect(cloth).toEqual(alone);
      expect(cloth.cloth.warpNodes.buffer instanceof SharedArrayBuffer).toBe(shares);
    }
  });

  it('hands results over in the order of the jobs, whichever is done first', async () => {
    const rows = [40, 6, 20, 8, 12];
    const taken: number[] = [];
    const steps = together(
      new WorkerCrew(3, () => handHere()),
      solvePart,
      rows.map((count) => () => partOf(count)),
      ({ start }) => taken.push(start.rows),
      (share) => ({ stage: 'heights', share }),
    );
    await withWaits(steps);
    expect(taken).toEqual(rows);
  });

  it('tells of an error in another thread as if it had come about in this one', async () => {
    const job = { ...partOf(8), rowYMm: new Float64Array(8).map((_, row) => -row) };
    const wrong = () =>
      together(
        new WorkerCrew(2, () => handHere()),
        solvePart,
        [() => partOf(8), () => job],
        () => {},
        (share) => ({ stage: 'heights', share }),
      );
    let here: unknown;
    try {
      finish(solvePart.steps(job, new Scratch()));
    } catch (error) {
      here = error;
    }
    if (!(here instanceof RangeError)) throw new Error('rows must not descend');
    await expect(withWaits(wrong())).rejects.toThrow(here.message);
    await expect(withWaits(wrong())).rejects.toBeInstanceOf(RangeError);
    const told = [new ClothError('jam', 'pick 3', 'Beat it less.'), new PackingError('row 3: turn back')];
    for (const error of told) {
      const again = errorOf(structuredClone(troubleOf(error)));
      expect(again).toEqual(error);
      expect(again).toBeInstanceOf(error.constructor);
    }
  });

  it('drops what waits and leaves what it is at once a newer edit comes', async () => {
    const told: ToHand[] = [];
    const heard: ForecastMessage[] = [];
    let time = 0;
    const crew = new WorkerCrew(3, () => handHere(told));
    const runner = new ForecastRunner({
      post: (message) => heard.push(message),
      breathe: later,
      now: () => {
        time += 7;
        return time;
      },
      crewOf: () => crew,
    });
    const materials = [{ strands: [strandOf([0.5, 0.4, 0.3])] }, { strands: [strandOf([0.5, 0.4, 0.3])] }];
    const large = { region: 'whole', quality: 'settled', problem: picture(190, 165), materials } as const;
    const first = runner.start({ ...large, jobId: 1, revision: 1 });
    while (!told.some((message) => 'name' in message && message.name === 'solvePart')) await later();
    const begun = told.filter((message) => 'name' in message).length;
    const small = { ...large, quality: 'preview', problem: picture(24, 20) } as const;
    await Promise.all([first, runner.start({ ...small, jobId: 2, revision: 2 })]);
    while (told.filter((message) => 'stop' in message).length < 2) await later();
    // A breath or two later nothing of the older one has been begun.
    for (let k = 0; k < 20; k++) await later();
    expect(told.filter((message) => 'name' in message)).toHaveLength(begun);
    const results = heard.filter(({ kind }) => kind !== 'progress');
    expect(results.map(({ revision, kind }) => [revision, kind])).toEqual([
      [1, 'partial'],
      [2, 'done'],
    ]);
  });
});
