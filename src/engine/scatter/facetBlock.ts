import { facetLambda, sampleVisibleFacet } from './facets.ts';
import { dielectricFresnel, sheetReflectance } from './fresnel.ts';
import { gaussLegendre } from './quadrature.ts';
import { scaleToTarget } from './scaleToTarget.ts';
import {
  BLOCK_FLOATS,
  LAYER_TEXELS,
  nodeCosine,
  nodePlace,
  nodeRoughness,
  TABLE_CHANNELS,
  TABLE_LEVELS,
  TABLE_NODES,
} from './scatterLayout.ts';

const SAMPLES = 40;

/**
 * The table block of facets under a coat of index `coatEta` (layout in `scatterLayout.ts`); yields after each roughness.
 *
 * One bounce among rough facets loses light (59 % of it at α = 1); the symmetric scale factors s(i) s(o) put it back,
 * so that facets that reflect all return all. Light is gathered over visible facets (Heitz 2018), whose density makes
 * the integrand G2/G1 alone.
 */
export function* fillFacetBlock(data: Float32Array, block: number, coatEta: number): Generator<number, void> {
  const n = TABLE_NODES;
  const half = gaussLegendre(SAMPLES, 0, 1);
  const turn = gaussLegendre(SAMPLES, 0, 0.5);
  const facet = [0, 0, 0];
  for (let row = 0; row < n; row++) {
    const alpha = nodeRoughness(row);
    const all = new Float64Array(n * n);
    const front = new Float64Array(n * n);
    const sheet = new Float64Array(n * n);
    for (let k = 0; k < n; k++) {
      const cosO = nodeCosine(k);
      const lambdaO = facetLambda(cosO, alpha);
      const o = [0, Math.sqrt(1 - cosO * cosO), cosO];
      for (let a = 0; a < SAMPLES; a++) {
        for (let b = 0; b < 2 * SAMPLES; b++) {
          const v = b < SAMPLES ? turn.nodes[b] : 0.5 + turn.nodes[b - SAMPLES];
          sampleVisibleFacet(facet, o, alpha, half.nodes[a], v);
          const cosH = o[1] * facet[1] + o[2] * facet[2];
          const cosI = 2 * cosH * facet[2] - o[2];
          if (cosI <= 0 || cosH <= 0) continue;
          const weight = half.weights[a] * turn.weights[b % SAMPLES];
          const value = (weight * (1 + lambdaO)) / (1 + lambdaO + facetLambda(cosI, alpha));
          const place = nodePlace(cosI);
          const low = Math.min(n - 2, Math.floor(place));
          const at = k * n + low;
          spread(all, at, place - low, value);
          spread(front, at, place - low, value * dielectricFresnel(cosH, coatEta));
          spread(sheet, at, place - low, value * sheetReflectance(cosH, coatEta));
        }
      }
    }
    const scale = scaleToTarget(all, new Float64Array(n).fill(1));
    for (let level = 0; level < TABLE_LEVELS; level++) {
      for (let k = 0; k < n; k++) {
        const at = block * BLOCK_FLOATS + (level * LAYER_TEXELS + row * n + k) * TABLE_CHANNELS;
        data[at] = scale[k];
        data[at + 1] = scale[k] * rowTimes(sheet, scale, k);
        data[at + 2] = scale[k] * rowTimes(front, scale, k);
        data[at + 3] = 0;
      }
    }
    yield (row + 1) / n;
  }
}

function spread(matrix: Float64Array, at: number, part: number, value: number): void {
  matrix[at] += value * (1 - part);
  matrix[at + 1] += value * part;
}

function rowTimes(matrix: Float64Array, s: Float64Array, row: number): number {
  let sum = 0;
  for (let k = 0; k < s.length; k++) sum += matrix[row * s.length + k] * s[k];
  return sum;
}
