import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { weaveDraft } from '#document/notation/weaveDraft.ts';
import type { Outcome } from '#document/problem.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { rowPositions } from '#engine/cloth/spacing/rowPositions.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { readLoomCard, readWarpCard, readWeaveCard, readYarnCard } from '#io/cardFiles.ts';
import { listPresets, type PresetKind, readAllYarnPresets, readSamplePreset } from '#io/presets.ts';
import { prettyJson } from '#io/prettyJson.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { caseById } from '#tests/reference/cases.ts';

const folder = new URL('../../presets/', import.meta.url);

function filesOf(kind: string): { id: string; text: string }[] {
  return readdirSync(new URL(`${kind}/`, folder))
    .sort()
    .map((file) => ({
      id: file.replace(/\.json$/, ''),
      text: readFileSync(new URL(`${kind}/${file}`, folder), 'utf8'),
    }));
}

function demand<Value>(outcome: Outcome<Value>): Value {
  if (outcome.ok) return outcome.value;
  throw new Error(outcome.problems.map(({ message }) => message).join('\n'));
}

function card<Value>(kind: string, id: string, read: (json: unknown) => Outcome<Value>): Value {
  return demand(read(JSON.parse(filesOf(kind).find((file) => file.id === id)!.text)));
}

const sample = (id: string): Sample => demand(readSampleText(filesOf('samples').find((file) => file.id === id)!.text));

describe('every preset file', () => {
  test.each(filesOf('yarns'))('yarn $id', ({ id, text }) => {
    expect(demand(readYarnCard(JSON.parse(text))).id).toBe(id);
  });

  test.each(filesOf('looms'))('loom $id', ({ id, text }) => {
    expect(demand(readLoomCard(JSON.parse(text))).id).toBe(id);
    expect(prettyJson(JSON.parse(text))).toBe(text);
  });

  test.each(filesOf('warps'))('warp $id fits its loom and carries its yarns', ({ id, text }) => {
    const { loomId } = demand(readWarpCard(JSON.parse(text)));
    expect(demand(readWarpCard(JSON.parse(text), card('looms', loomId!, readLoomCard))).id).toBe(id);
    expect(prettyJson(JSON.parse(text))).toBe(text);
  });

  test.each(filesOf('weaves'))('weave $id uses all its shafts, and every end and pick interlaces', ({ id, text }) => {
    const weave = demand(readWeaveCard(JSON.parse(text)));
    expect(weave.id).toBe(id);
    const draft = demand(weaveDraft(weave));
    expect(new Set(draft.threading)).toEqual(new Set(Array.from({ length: weave.shafts }, (_, i) => i + 1)));
    const rows = rowsOf(computeDrawdown(draft.threading, draft.liftPlan));
    const columns = rows[0].map((_, end) => rows.map((row) => row[end]));
    for (const thread of [...rows, ...columns]) expect(new Set(thread).size).toBe(2);
  });

  test.each(filesOf('samples'))('sample $id, its kept versions and its cards', ({ text }) => {
    const read = demand(readSampleText(text));
    expect(writeSampleText(read)).toBe(text);
    expect(read.versions.length).toBeGreaterThanOrEqual(2);
    expect(read.versions.length).toBeLessThanOrEqual(3);
    // One of them is the disappointment, in the words that a weaver has for it; each says what it is about.
    expect(read.versions.filter(({ name }) => name.startsWith('too '))).toHaveLength(1);
    for (const { note } of read.versions) expect(note).toBeTruthy();
    expect(read.loom).toEqual(card('looms', read.loom.id, readLoomCard));
    const { yarns: carried, ...warp } = card('warps', read.warp.id, readWarpCard);
    expect(read.warp).toEqual(warp);
    expect(read.yarns).toMatchObject(carried!);
    for (const { body } of [{ body: read }, ...read.versions])
      expect(toClothProblem(body).problem.rows).toBeGreaterThan(20);
  });

  test.each(filesOf('samples'))('yarns dyed for sample $id keep the figures of the shelf’s card', ({ text }) => {
    for (const yarn of Object.values(demand(readSampleText(text)).yarns)) {
      const shelfId = /^(\S+) of the shelf$/.exec(yarn.provenance?.card ?? '')?.[1];
      const own = { id: yarn.id, name: yarn.name, coneColour: yarn.coneColour, provenance: yarn.provenance };
      const { sources: _sources, ...shelf } = card('yarns', shelfId!, readYarnCard);
      expect(yarn).toEqual({ ...shelf, ...own });
    }
  });
});

describe('presets as the page lists them', () => {
  test.each(['yarns', 'looms', 'warps', 'weaves', 'samples'] as const)('%s: all files, by name', (kind: PresetKind) => {
    const listed = listPresets(kind);
    expect(listed.map(({ id }) => id).sort()).toEqual(
      filesOf(kind)
        .map(({ id }) => id)
        .sort(),
    );
    for (const { name } of listed) expect(name).not.toBe('');
  });

  test('bodies are read on demand, and an unknown one is named', async () => {
    expect(demand(await readSamplePreset('channel-buoy')).name).toBe('channel buoy');
    expect((await readAllYarnPresets()).length).toBe(filesOf('yarns').length);
    await expect(readSamplePreset('sea-serpent')).rejects.toThrow(/no preset "sea-serpent"/);
  });
});

function rowsOf(drawdown: Drawdown): number[][] {
  return Array.from({ length: drawdown.rows }, (_, row) =>
    Array.from({ length: drawdown.ends }, (_, end) => (isWarpUp(drawdown, row, end) ? 1 : 0)),
  );
}

describe('weave cards against published weaves', () => {
  const weaveRows = (id: string) => {
    const draft = demand(weaveDraft(card('weaves', id, readWeaveCard)));
    return rowsOf(computeDrawdown(draft.threading, draft.liftPlan));
  };
  const { inputs } = caseById<{ matrices_rows_are_picks_1_is_warp_up: Record<string, number[][]> }, unknown>(
    'textile',
    'WT-13',
  );
  const published = inputs.matrices_rows_are_picks_1_is_warp_up;

  // Matrices of WT-13 (closed form); the sateen orders agree with Wolfensberger 1921 p. 33 and Brooks 1888 (WT-03).
  test.each([
    ['plain', 'plain'],
    ['twill-2-2', '2/2 twill'],
    ['sateen-5', '5-end weft satin'],
    ['sateen-8', '8-end weft satin'],
  ])('%s', (id, name) => {
    expect(weaveRows(id)).toEqual(published[name]);
  });

  test.each([
    ['satin-5', 'sateen-5'],
    ['satin-8', 'sateen-8'],
    ['twill-3-1', 'twill-1-3'],
  ])('%s has as many marks as %s has gaps', (warpFaced, weftFaced) => {
    const marks = (id: string) =>
      weaveRows(id)
        .flat()
        .reduce((sum, mark) => sum + mark, 0);
    expect(marks(warpFaced) + marks(weftFaced)).toBe(weaveRows(warpFaced).flat().length);
  });

  test('lift order of the 5-end sateen: C. P. Brooks 1888, WT-03', () => {
    const { expected } = caseById<unknown, { lift_order: number[] }>('textile', 'WT-03');
    expect(weaveRows('sateen-5').map((row) => row.indexOf(1) + 1)).toEqual(expected.lift_order);
  });
});

describe('the harbour samples do what they say', () => {
  test('signal gamp: six colours both ways, 96 ends, plain and then 2/2 twill', () => {
    const { problem, materials } = toClothProblem(sample('signal-gamp'));
    const colours = (threads: Uint16Array) => Array.from(threads, (yarn) => materials[yarn].strands[0].id);
    expect(problem.ends).toBe(96);
    expect(new Set(colours(problem.endYarn)).size).toBe(6);
    expect(colours(problem.rowYarn).slice(0, 96)).toEqual(colours(problem.endYarn));
    expect(colours(problem.rowYarn).slice(96)).toEqual(colours(problem.endYarn));
    for (let row = 0; row < 192; row++) {
      for (let end = 0; end < 96; end++) {
        const plain = row % 2 === end % 2;
        const twill = (end - row + 192) % 4 < 2;
        expect(isWarpUp(problem.drawdown, row, end)).toBe(row < 96 ? plain : twill);
      }
    }
  });

  test('channel buoy: the back is the exact colour negative of the face, crossing by crossing', () => {
    const { problem, materials } = toClothProblem(sample('channel-buoy'));
    const id = (yarn: number) => materials[yarn].strands[0].id;
    let different = 0;
    for (let row = 0; row < problem.rows; row++) {
      for (let end = 0; end < problem.ends; end++) {
        const warp = id(problem.endYarn[end]);
        const weft = id(problem.rowYarn[row]);
        if (warp === weft) continue; // The same colour on both sides: the crossing lies within one layer.
        different++;
        // Layers of unlike colour never interlace: whichever lies above on the face lies below on the back.
        const up = isWarpUp(problem.drawdown, row, end);
        const blockDark = darkOnFace(problem, id, row, end);
        expect(up ? warp : weft).toBe(blockDark ? 'dark' : 'pale');
        expect(up ? weft : warp).toBe(blockDark ? 'pale' : 'dark');
      }
    }
    expect(different).toBe((problem.rows * problem.ends) / 2);
  });

  // The plan is square in units of one column; a rep ring is tall where a unit of two wefts is higher than a column is
  // wide. Bounds: the eye takes up to a tenth for round (common practice); the plain ring must be well beyond it.
  test('mooring ring: too tall as drawn, round in the two versions that mend it', () => {
    const ring = sample('mooring-ring');
    expect(heightOverWidth(ring)).toBeGreaterThan(1.25);
    const [tall, ...round] = ring.versions;
    expect(tall.name).toBe('too tall');
    expect(heightOverWidth(tall.body)).toBe(heightOverWidth(ring));
    for (const { name, body } of round) {
      expect(name).toMatch(/^round/);
      expect(Math.abs(heightOverWidth(body) - 1)).toBeLessThan(0.1);
    }
  });

  // Sateen of eight: one end in eight rises, each pick's three ends (mod 8) from the last's; A. Wolfensberger, Theory of
  // Silk Weaving (1921) p. 33.
  test('boat paint: 8-end sateen in one colour, weft up on the face; reversed, the satin', () => {
    const read = sample('boat-paint');
    const { problem } = toClothProblem(read);
    const colours = new Set(Object.values(read.yarns).map(({ coneColour }) => coneColour));
    expect(colours.size).toBe(1);
    const risen = (row: number) =>
      Array.from({ length: problem.ends }, (_, end) => end).filter((end) => isWarpUp(problem.drawdown, row, end));
    for (let row = 0; row < problem.rows; row++) {
      expect(risen(row)).toHaveLength(problem.ends / 8);
      if (row > 0) expect((risen(row)[0] - risen(row - 1)[0] + 8) % 8).toBe(3);
    }
    const satin = toClothProblem(read.versions.find(({ name }) => name === 'satin face up')!.body).problem;
    for (let row = 0; row < problem.rows; row++) {
      for (let end = 0; end < problem.ends; end++) {
        expect(isWarpUp(satin.drawdown, row, end)).toBe(!isWarpUp(problem.drawdown, row, end));
      }
    }
  });

  // A tenth more or less passes for the same size (common practice); a disappointment must be well beyond it.
  test('channel buoy beaten hard is too squat, signal gamp beaten loosely too open', () => {
    const overPlan = (id: string, version: string) => {
      const read = sample(id);
      const { body } = read.versions.find(({ name }) => name === version)!;
      return lengthMm(body) / lengthMm(read);
    };
    expect(overPlan('channel-buoy', 'too squat')).toBeLessThan(0.8);
    expect(overPlan('signal-gamp', 'too open')).toBeGreaterThan(1.4);
  });
});

/** Which layer is on the face around a crossing of the buoy: read from the four ends and four picks of its unit. */
function darkOnFace(
  problem: ReturnType<typeof toClothProblem>['problem'],
  id: (yarn: number) => string,
  row: number,
  end: number,
): boolean {
  const unitRow = row - (row % 4);
  const unitEnd = end - (end % 4);
  let darkWarpOverPaleWeft = 0;
  for (let r = unitRow; r < unitRow + 4; r++) {
    for (let e = unitEnd; e < unitEnd + 4; e++) {
      if (id(problem.endYarn[e]) !== 'dark' || id(problem.rowYarn[r]) !== 'pale') continue;
      if (isWarpUp(problem.drawdown, r, e)) darkWarpOverPaleWeft++;
    }
  }
  expect([0, 4]).toContain(darkWarpOverPaleWeft);
  return darkWarpOverPaleWeft === 4;
}

/** From the first pick to the last, mm. */
function lengthMm(body: Parameters<typeof toClothProblem>[0]): number {
  const { rowYMm } = rowPositions(toClothProblem(body).problem, false);
  return rowYMm[rowYMm.length - 1] - rowYMm[0];
}

/** Height over width, mm, of the dark figure: where dark ends rise over the first weft of a pair. */
function heightOverWidth(body: Parameters<typeof toClothProblem>[0]): number {
  const { problem, materials } = toClothProblem(body);
  const { rowYMm } = rowPositions(problem, false);
  const inFigure = (row: number, end: number) =>
    materials[problem.endYarn[end]].strands[0].id === 'tar' && isWarpUp(problem.drawdown, row, end);
  const ends = Array.from({ length: problem.ends }, (_, end) => end);
  const rows = Array.from({ length: problem.rows / 2 }, (_, unit) => 2 * unit);
  const figureRows = rows.filter((row) => ends.some((end) => inFigure(row, end)));
  const figureEnds = ends.filter((end) => rows.some((row) => inFigure(row, end)));
  const [bottom, top] = [figureRows[0], figureRows.at(-1)!];
  const [left, right] = [figureEnds[0], figureEnds.at(-1)!];
  const pitchMm = problem.endXMm[1] - problem.endXMm[0];
  // From the first weft of the figure to the first weft above it; two ends a pair across.
  return (rowYMm[top + 2] - rowYMm[bottom]) / (problem.endXMm[right] - problem.endXMm[left] + 2 * pitchMm);
}
