import { loomKeepsSwatches } from './0002_loomKeepsSwatches.ts';
import { sampleKeepsAfterLoom } from './0002_sampleKeepsAfterLoom.ts';
import { warpKeepsDents } from './0002_warpKeepsDents.ts';
import { weaveKeepsItsRule } from './0002_weaveKeepsItsRule.ts';
import { yarnKeepsWhatIsLeft } from './0002_yarnKeepsWhatIsLeft.ts';
import { loomKeepsEffects } from './0003_loomKeepsEffects.ts';
import { sampleKeepsThePlan } from './0003_sampleKeepsThePlan.ts';
import { yarnKeepsBleed } from './0003_yarnKeepsBleed.ts';
import { sampleKeepsForeignSections } from './0004_sampleKeepsForeignSections.ts';
import { sampleKeepsUseAndFaults } from './0005_sampleKeepsUseAndFaults.ts';
import { sampleKeepsBends } from './0006_sampleKeepsBends.ts';
import { sampleKeepsBackFloats } from './0007_sampleKeepsBackFloats.ts';
import { sampleKeepsTheArc } from './0008_sampleKeepsTheArc.ts';
import type { FileFormat } from './migrate.ts';

/** Every kind of file. Steps stand beside this file: `0002_….ts` is the step of its kind to version 2. */
export const sampleFormat: FileFormat = {
  format: 'forecloth-sample',
  inWords: 'a sample',
  newest: 8,
  migrations: [
    sampleKeepsAfterLoom,
    sampleKeepsThePlan,
    sampleKeepsForeignSections,
    sampleKeepsUseAndFaults,
    sampleKeepsBends,
    sampleKeepsBackFloats,
    sampleKeepsTheArc,
  ],
};
export const loomFormat: FileFormat = {
  format: 'forecloth-loom',
  inWords: 'a loom card',
  newest: 3,
  migrations: [loomKeepsSwatches, loomKeepsEffects],
};
export const warpFormat: FileFormat = {
  format: 'forecloth-warp',
  inWords: 'a warp card',
  newest: 2,
  migrations: [warpKeepsDents],
};
export const yarnFormat: FileFormat = {
  format: 'forecloth-yarn',
  inWords: 'a yarn card',
  newest: 3,
  migrations: [yarnKeepsWhatIsLeft, yarnKeepsBleed],
};
export const weaveFormat: FileFormat = {
  format: 'forecloth-weave',
  inWords: 'a weave card',
  newest: 2,
  migrations: [weaveKeepsItsRule],
};

export const allFormats: readonly FileFormat[] = [sampleFormat, loomFormat, warpFormat, yarnFormat, weaveFormat];
