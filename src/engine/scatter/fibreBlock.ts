import { arcsine, bedEscape, type FibreLobes, gaussian, LEAST_COSINE, widen } from './fibreLobes.ts';
import { dielectricFresnel } from './fresnel.ts';
import { gaussLegendre, type Quadrature } from './quadrature.ts';
import { scaleToTarget } from './scaleToTarget.ts';
import {
  BLOCK_FLOATS,
  LAYER_TEXELS,
  levelTilt,
  nodeCosine,
  nodePlace,
  TABLE_CHANNELS,
  TABLE_LEVELS,
  TABLE_NODES,
} from './scatterLayout.ts';

const THETA_COUNT = 28;
const PHI_COUNT = 32;
const FRESNEL_STEPS = 512;
const HALF_PI = Math.PI / 2;

/** How directions in from the table's azimuths meet one direction out: escape, cos(φd/2), weights on the nodes. */
interface AzimuthPairs {
  readonly escaping: Float64Array;
  readonly cosHalf: Float64Array;
}
interface Places {
  readonly low: Int32Array;
  readonly part: Float64Array;
}
/** Inclinations of light in, chosen for one inclination out so that the lobe between them is caught however narrow. */
interface Inclinations extends Places {
  readonly cosTd: Float64Array;
  /** Kernel, solid angle and quadrature weight, all but Fresnel and azimuth. */
  readonly value: Float64Array;
}

const phiIn: Quadrature = gaussLegendre(PHI_COUNT, -HALF_PI, HALF_PI);
const unit: Quadrature = gaussLegendre(THETA_COUNT, 0, 1);
const phiPlaces = placesOf(Float64Array.from(phiIn.nodes, Math.cos));
const azimuths: readonly AzimuthPairs[] = Array.from({ length: TABLE_NODES }, (_, b) => azimuthPairs(nodeCosine(b)));

function placesOf(cosines: Float64Array): Places {
  const low = new Int32Array(cosines.length);
  const part = new Float64Array(cosines.length);
  cosines.forEach((cosine, k) => {
    const place = nodePlace(cosine);
    low[k] = Math.min(TABLE_NODES - 2, Math.floor(place));
    part[k] = place - low[k];
  });
  return { low, part };
}

function azimuthPairs(cosPhiO: number): AzimuthPairs {
  const sinPhiO = Math.sqrt(1 - cosPhiO * cosPhiO);
  const escaping = new Float64Array(PHI_COUNT);
  const cosHalf = new Float64Array(PHI_COUNT);
  for (let q = 0; q < PHI_COUNT; q++) {
    const cosPhiI = Math.cos(phiIn.nodes[q]);
    const cosDelta = cosPhiI * cosPhiO + Math.sin(phiIn.nodes[q]) * sinPhiO;
    cosHalf[q] = Math.sqrt(Math.max(0, 0.5 * (1 + cosDelta)));
    // Weighed by the cosine to the bed's normal, of which cos θ is counted with the inclination.
    escaping[q] = bedEscape(cosPhiI, cosPhiO, cosDelta) * cosPhiI * phiIn.weights[q];
  }
  return { escaping, cosHalf };
}

/**
 * Light in for light out at `cosThetaO`, with θh spread as a logistic distribution of about the lobe's width (its
 * quantiles are in closed form and its tails heavier than a Gaussian's); `width` 0: evenly over all inclinations.
 */
function inclinations(
  cosThetaO: number,
  width: number,
  lobe: (thetaH: number, cosSum: number) => number,
): Inclinations {
  const thetaO = Math.acos(cosThetaO);
  const cosTd = new Float64Array(THETA_COUNT);
  const value = new Float64Array(THETA_COUNT);
  const cosines = new Float64Array(THETA_COUNT);
  const scale = 0.55 * width;
  const from = width > 0 ? logistic((thetaO - HALF_PI) / (2 * scale)) : 0;
  const to = width > 0 ? logistic((thetaO + HALF_PI) / (2 * scale)) : 1;
  for (let p = 0; p < THETA_COUNT; p++) {
    let thetaI: number;
    let weight: number;
    if (width > 0) {
      const y = from + (to - from) * unit.nodes[p];
      thetaI = Math.min(HALF_PI, Math.max(-HALF_PI, 2 * scale * Math.log(y / (1 - y)) - thetaO));
      weight = ((to - from) * unit.weights[p] * 2 * scale) / (y * (1 - y));
    } else {
      thetaI = Math.PI * (unit.nodes[p] - 0.5);
      weight = Math.PI * unit.weights[p];
    }
    const cosThetaI = Math.cos(thetaI);
    cosines[p] = cosThetaI;
    cosTd[p] = Math.max(LEAST_COSINE, Math.cos((thetaI - thetaO) / 2));
    const thetaH = arcsine((0.5 * (Math.sin(thetaI) + Math.sin(thetaO))) / cosTd[p]);
    const kernel = lobe(thetaH, Math.max(LEAST_COSINE, cosThetaI + cosThetaO)) / (cosTd[p] * cosTd[p]);
    // cos θ of the solid angle, cos θ of the incidence.
    value[p] = kernel * cosThetaI * cosThetaI * weight;
  }
  return { cosTd, value, ...placesOf(cosines) };
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

/** Scale of the surface lobe by inclination, so that a fibre that reflects all returns all: ∫ S cos θ dω = 1. */
function surfaceScale(width: number): Float64Array {
  const n = TABLE_NODES;
  const matrix = new Float64Array(n * n);
  for (let a = 0; a < n; a++) {
    const row = inclinations(nodeCosine(a), width, (thetaH) => 0.5 * gaussian(thetaH, width));
    for (let p = 0; p < THETA_COUNT; p++) {
      matrix[a * n + row.low[p]] += row.value[p] * (1 - row.part[p]);
      matrix[a * n + row.low[p] + 1] += row.value[p] * row.part[p];
    }
  }
  return scaleToTarget(matrix, new Float64Array(n).fill(1));
}

function fresnelSteps(eta: number): Float64Array {
  return Float64Array.from({ length: FRESNEL_STEPS + 2 }, (_, k) =>
    dielectricFresnel(Math.min(1, k / FRESNEL_STEPS), eta),
  );
}

/** Adds the kernel, integrated over light in, to the matrix (outer node) × (inner node). */
function gather(
  matrix: Float64Array,
  rows: readonly Inclinations[],
  factor: (fresnel: number, cosHalf: number) => number,
  steps: Float64Array,
): void {
  const n = TABLE_NODES;
  for (let a = 0; a < n; a++) {
    const { cosTd, value, low, part } = rows[a];
    for (let b = 0; b < n; b++) {
      const { escaping, cosHalf } = azimuths[b];
      const base = (b * n + a) * LAYER_TEXELS;
      for (let q = 0; q < PHI_COUNT; q++) {
        const upper = phiPlaces.part[q];
        for (let p = 0; p < THETA_COUNT; p++) {
          const place = cosTd[p] * cosHalf[q] * FRESNEL_STEPS;
          const k = place | 0;
          const fresnel = steps[k] + (place - k) * (steps[k + 1] - steps[k]);
          const v = value[p] * escaping[q] * factor(fresnel, cosHalf[q]);
          const at = base + phiPlaces.low[q] * n + low[p];
          const right = v * part[p];
          const left = v - right;
          matrix[at] += left * (1 - upper);
          matrix[at + 1] += right * (1 - upper);
          matrix[at + n] += left * upper;
          matrix[at + n + 1] += right * upper;
        }
      }
    }
  }
}

const surfaceFactor = (fresnel: number, cosHalf: number): number => fresnel * cosHalf;
const volumeFactor = (fresnel: number): number => (1 - fresnel) * (1 - fresnel);

/**
 * The table block of one set of lobes (layout in `scatterLayout.ts`), written from `block` on; yields after each level.
 *
 * The scale factors are symmetric, s(i) s(o), so that the lobes stay reciprocal, and found by iteration s ← s/sqrt(E/target)
 * (R. Sinkhorn 1964, Ann. Math. Stat. 35, 876: it exists and is unique for a positive kernel). The surface lobe returns
 * E_s; what it leaves enters and comes back with the volume lobe, whose target is 1 − E_s.
 */
export function* fillFibreBlock(data: Float32Array, block: number, lobes: FibreLobes): Generator<number, void> {
  const n = TABLE_NODES;
  const steps = fresnelSteps(lobes.eta);
  const even = new Float64Array(LAYER_TEXELS * LAYER_TEXELS);
  const evenRows = Array.from({ length: n }, (_, a) =>
    inclinations(nodeCosine(a), 0, (_thetaH, cosSum) => lobes.isotropy / cosSum),
  );
  gather(even, evenRows, volumeFactor, steps);
  const matrix = new Float64Array(LAYER_TEXELS * LAYER_TEXELS);
  for (let level = 0; level < TABLE_LEVELS; level++) {
    const variance = levelTilt(level) ** 2;
    const surfaceWidth = widen(lobes.surfaceWidthRad, variance);
    const volumeWidth = widen(lobes.volumeWidthRad, variance);
    const scale = surfaceScale(surfaceWidth).map((s) => s * Math.sqrt(lobes.exposure));

    matrix.fill(0);
    const surfaceRows = Array.from({ length: n }, (_, a) =>
      inclinations(nodeCosine(a), surfaceWidth, (thetaH) => 0.125 * gaussian(thetaH, surfaceWidth)),
    );
    gather(matrix, surfaceRows, surfaceFactor, steps);
    const target = new Float64Array(LAYER_TEXELS);
    const meanCosine = new Float64Array(LAYER_TEXELS);
    for (let o = 0; o < LAYER_TEXELS; o++) {
      let returned = 0;
      let slanted = 0;
      for (let i = 0; i < LAYER_TEXELS; i++) {
        const light = matrix[o * LAYER_TEXELS + i] * scale[i % n];
        returned += light;
        slanted += light * nodeCosine(i % n) * nodeCosine((i / n) | 0);
      }
      meanCosine[o] = slanted / returned;
      target[o] = 1 - Math.min(0.98, returned * scale[o % n]);
    }

    matrix.set(even);
    const volumeRows = Array.from({ length: n }, (_, a) =>
      inclinations(
        nodeCosine(a),
        volumeWidth,
        (thetaH, cosSum) => ((1 - lobes.isotropy) * gaussian(thetaH, volumeWidth)) / cosSum,
      ),
    );
    gather(matrix, volumeRows, volumeFactor, steps);
    const volume = scaleToTarget(matrix, target);

    const start = block * BLOCK_FLOATS + level * LAYER_TEXELS * TABLE_CHANNELS;
    for (let o = 0; o < LAYER_TEXELS; o++) {
      const at = start + o * TABLE_CHANNELS;
      data[at] = scale[o % n];
      data[at + 1] = volume[o];
      data[at + 2] = 1 - target[o];
      data[at + 3] = meanCosine[o];
    }
    yield (level + 1) / TABLE_LEVELS;
  }
}
