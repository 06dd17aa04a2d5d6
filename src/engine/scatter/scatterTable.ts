import type { YarnOptics } from '#engine/yarn/yarnOptics.ts';
import { fillFacetBlock } from './facetBlock.ts';
import { fillFibreBlock } from './fibreBlock.ts';
import type { FibreLobes } from './fibreLobes.ts';
import { BLOCK_FLOATS, MOST_BLOCKS, type ScatterTable } from './scatterLayout.ts';

/** What a block is computed for. Yarns that differ in colour, or in film roughness alone, share one. */
export type BlockSetting =
  | { readonly kind: 'fibre'; readonly lobes: FibreLobes }
  | { readonly kind: 'facets'; readonly coatEta: number };

export interface BuiltScatterTable extends ScatterTable {
  /** Block of each setting asked for, in order. */
  readonly blockOf: readonly number[];
}

/** Yarns nearer than this share a block: far finer than what is known of them. */
const WIDTH_RATIO = 1.06;
const INDEX_STEP = 0.005;
const SHARE_STEP = 0.05;

const toStep = (value: number, step: number): number => Math.round(value / step) * step;
const toRatio = (value: number): number =>
  value > 0 ? WIDTH_RATIO ** Math.round(Math.log(value) / Math.log(WIDTH_RATIO)) : 0;

/** Lobes of a yarn whose surface is fibres. */
export function fibreLobesOf(optics: YarnOptics): FibreLobes {
  return {
    eta: toStep(optics.eta, INDEX_STEP),
    surfaceWidthRad: toRatio(optics.surfaceWidthRad),
    volumeWidthRad: toRatio(optics.volumeWidthRad),
    isotropy: toStep(optics.isotropy, SHARE_STEP),
    exposure: toStep(optics.exposure, SHARE_STEP),
  };
}

export function blockSetting(optics: YarnOptics): BlockSetting {
  return optics.surface === 'fibre'
    ? { kind: 'fibre', lobes: fibreLobesOf(optics) }
    : { kind: 'facets', coatEta: toStep(optics.eta, INDEX_STEP) };
}

const done = new Map<string, Float32Array>();

/**
 * The scattering table of a cloth's yarns: one block for each distinct setting. Yields the share done, 0..1. A block
 * takes about a fifth of a second the first time, and is kept for later tables.
 * @throws RangeError above `MOST_BLOCKS` distinct settings
 */
export function* buildScatterTable(settings: readonly BlockSetting[]): Generator<number, BuiltScatterTable> {
  const keys = settings.map((setting) => JSON.stringify(setting));
  const distinct = [...new Set(keys)];
  if (distinct.length > MOST_BLOCKS) {
    throw new RangeError(
      `scattering: ${distinct.length} yarns that differ in lustre, more than ${MOST_BLOCKS}; give some of them one lustre`,
    );
  }
  const data = new Float32Array(Math.max(1, distinct.length) * BLOCK_FLOATS);
  for (const [block, key] of distinct.entries()) {
    let values = done.get(key);
    if (!values) {
      values = new Float32Array(BLOCK_FLOATS);
      const setting = settings[keys.indexOf(key)];
      const steps =
        setting.kind === 'fibre'
          ? fillFibreBlock(values, 0, setting.lobes)
          : fillFacetBlock(values, 0, setting.coatEta);
      for (const share of steps) yield (block + share) / distinct.length;
      done.set(key, values);
    }
    data.set(values, block * BLOCK_FLOATS);
  }
  return { data, blocks: Math.max(1, distinct.length), blockOf: keys.map((key) => distinct.indexOf(key)) };
}
