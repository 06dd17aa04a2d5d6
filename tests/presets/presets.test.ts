import { describe, expect, test } from 'vitest';
import { weaveDraft } from '#document/notation/weaveDraft.ts';
import { toClothProblem } from '#document/toClothProblem.ts';
import { computeDrawdown } from '#engine/draft/computeDrawdown.ts';
import { type Drawdown, isWarpUp } from '#engine/draft/drawdown.ts';
import { readLoomCard, readWarpCard, readWeaveCard, readYarnCard } from '#io/cardFiles.ts';
import { listPresets, type PresetKind, readAllYarnPresets, readSamplePreset } from '#io/presets.ts';
import { prettyJson } from '#io/prettyJson.ts';
import { readSampleText, writeSampleText } from '#io/sampleFile.ts';
import { caseById } from '#tests/reference/cases.ts';
import { card, demand, filesOf } from './presetFiles.ts';

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
    expect(new Set(draft.threading)).toEqual(new Set(Array.from({ length: draft.shafts }, (_, i) => i + 1)));
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
