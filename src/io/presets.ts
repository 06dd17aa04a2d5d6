import type { Outcome } from '#document/problem.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { WarpCard } from '#document/schema/warpSchema.ts';
import type { WeaveCard } from '#document/schema/weaveSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { readLoomCard, readWarpCard, readWeaveCard, readYarnCard } from './cardFiles.ts';
import { readSampleJson } from './sampleFile.ts';

/**
 * What comes with the program. Names are at hand at once, since lists show them; bodies are fetched when asked for, and
 * go through the same reading as a file from disk.
 */
export interface PresetEntry {
  /** File name without its ending: what the `read…Preset` functions take. */
  readonly id: string;
  readonly name: string;
}

type Names = Record<string, string>;
type Bodies = Record<string, () => Promise<unknown>>;

const names = {
  yarns: import.meta.glob('/presets/yarns/*.json', { eager: true, import: 'name' }) as Names,
  looms: import.meta.glob('/presets/looms/*.json', { eager: true, import: 'name' }) as Names,
  warps: import.meta.glob('/presets/warps/*.json', { eager: true, import: 'name' }) as Names,
  weaves: import.meta.glob('/presets/weaves/*.json', { eager: true, import: 'name' }) as Names,
  samples: import.meta.glob('/presets/samples/*.json', { eager: true, import: 'name' }) as Names,
};

/** As text: a module of its own, so that the bodies stay out of the script that holds the names. */
const bodies = {
  looms: import.meta.glob('/presets/looms/*.json', { query: '?raw', import: 'default' }) as Bodies,
  warps: import.meta.glob('/presets/warps/*.json', { query: '?raw', import: 'default' }) as Bodies,
  samples: import.meta.glob('/presets/samples/*.json', { query: '?raw', import: 'default' }) as Bodies,
};

export type PresetKind = keyof typeof names;

export function listPresets(kind: PresetKind): PresetEntry[] {
  return Object.entries(names[kind])
    .map(([path, name]) => ({ id: path.slice(path.lastIndexOf('/') + 1, -'.json'.length), name }))
    .sort((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
}

const loomIds = import.meta.glob('/presets/warps/*.json', { eager: true, import: 'loomId' }) as Names;

/** Id of the loom that a warp of the room is on; empty where it is on none. */
export function loomOfWarp(id: string): string {
  return loomIds[`/presets/warps/${id}.json`] ?? '';
}

/** The parsed file. @throws Error where there is no such preset, or it cannot be fetched. */
async function fetchPreset(kind: PresetKind, id: string): Promise<unknown> {
  const path = `/presets/${kind}/${id}.json`;
  if (!Object.hasOwn(names[kind], path)) {
    throw new Error(`There is no preset "${id}" among the ${kind}. Choose one that listPresets names.`);
  }
  return JSON.parse(await fetchText(kind, path));
}

/** Yarns and weaves come all together, each kind in a module of its own; the others one by one. */
async function fetchText(kind: PresetKind, path: string): Promise<string> {
  if (kind === 'yarns') return (await import('./yarnShelf.ts')).yarnTexts[path];
  if (kind === 'weaves') return (await import('./weaveShelf.ts')).weaveTexts[path];
  return (await bodies[kind][path]()) as string;
}

export async function readSamplePreset(id: string): Promise<Outcome<Sample>> {
  return readSampleJson(await fetchPreset('samples', id));
}

export async function readYarnPreset(id: string): Promise<Outcome<YarnCard>> {
  return readYarnCard(await fetchPreset('yarns', id));
}

export async function readLoomPreset(id: string): Promise<Outcome<LoomCard>> {
  return readLoomCard(await fetchPreset('looms', id));
}

export async function readWarpPreset(id: string): Promise<Outcome<WarpCard>> {
  return readWarpCard(await fetchPreset('warps', id));
}

export async function readWeavePreset(id: string): Promise<Outcome<WeaveCard>> {
  return readWeaveCard(await fetchPreset('weaves', id));
}

/** Every yarn card, for the shelf: in the order of `listPresets`. */
export async function readAllYarnPresets(): Promise<YarnCard[]> {
  const outcomes = await Promise.all(listPresets('yarns').map(({ id }) => readYarnPreset(id)));
  return outcomes.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
}

/** Every weave card, for the library: in the order of `listPresets`. */
export async function readAllWeavePresets(): Promise<WeaveCard[]> {
  const outcomes = await Promise.all(listPresets('weaves').map(({ id }) => readWeavePreset(id)));
  return outcomes.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
}
