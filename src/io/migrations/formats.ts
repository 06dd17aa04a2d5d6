import type { FileFormat } from './migrate.ts';

/** Every kind of file, all at their first version: the first step of any of them will be `0002_….ts` beside this file. */
export const sampleFormat: FileFormat = { format: 'forecloth-sample', inWords: 'a sample', newest: 1, migrations: [] };
export const loomFormat: FileFormat = { format: 'forecloth-loom', inWords: 'a loom card', newest: 1, migrations: [] };
export const warpFormat: FileFormat = { format: 'forecloth-warp', inWords: 'a warp card', newest: 1, migrations: [] };
export const yarnFormat: FileFormat = { format: 'forecloth-yarn', inWords: 'a yarn card', newest: 1, migrations: [] };
export const weaveFormat: FileFormat = {
  format: 'forecloth-weave',
  inWords: 'a weave card',
  newest: 1,
  migrations: [],
};

export const allFormats: readonly FileFormat[] = [sampleFormat, loomFormat, warpFormat, yarnFormat, weaveFormat];
