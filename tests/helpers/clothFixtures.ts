import type { ClothGeometry, ClothProblem } from '#engine/cloth/clothTypes.ts';
import { levelField } from '#engine/cloth/curve.ts';
import type { LinearRgb } from '#engine/colour/colour.ts';
import { createDrawdown, setWarpUp } from '#engine/draft/drawdown.ts';
import type { YarnMaterial } from '#engine/packing/packedCloth.ts';
import type { StrandMaterial } from '#engine/packing/strandMaterial.ts';
import { yarnOptics } from '#engine/yarn/yarnOptics.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

export interface FixtureYarn {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly colour?: LinearRgb;
  readonly colours?: readonly LinearRgb[];
  readonly plies?: number;
  readonly turnsPerM?: number;
  readonly strip?: boolean;
}

export interface FixtureOptions {
  readonly ends: number;
  readonly rows: number;
  readonly warp: readonly FixtureYarn[];
  readonly weft: readonly FixtureYarn[];
  /** Index into `warp` / `weft`; 0 by default. */
  readonly endYarn?: (end: number) => number;
  readonly rowYarn?: (row: number) => number;
  readonly warpUp?: (row: number, end: number) => boolean;
  readonly endX?: (end: number) => number;
  readonly rowY?: (row: number) => number;
  /** The warp's share of the crimp height, 0..1. */
  readonly warpShare?: number;
  readonly offsets?: (family: 'warp' | 'weft', row: number, end: number) => readonly [number, number];
  readonly sections?: (family: 'warp' | 'weft', row: number, end: number) => readonly [number, number];
  readonly wraps?: (family: 'warp' | 'weft', row: number, end: number) => readonly [number, number];
  readonly slopes?: (family: 'warp' | 'weft', row: number, end: number) => number;
  readonly rowSpan?: (row: number) => readonly [number, number];
  readonly rowPick?: (row: number) => number;
  readonly tailMm?: number;
  readonly rowEnd?: (row: number) => number;
  readonly periodRows?: number;
  readonly periodEnds?: number;
}

export interface ClothFixture {
  readonly problem: ClothProblem;
  readonly geometry: ClothGeometry;
  readonly materials: readonly YarnMaterial[];
}

/** A plied cotton as the optics rule takes it. */
const MATTE = yarnOptics({
  format: 'forecloth-yarn',
  version: 1,
  id: 'plain-cotton',
  name: 'Cotton 8/2',
  fibre: 'cotton',
  tex: 148,
  plies: 2,
  shape: 'round',
  packingFraction: 0.6,
  fibreDensityGPerCm3: 1.52,
  bendingNmm2: [0.01, 0.02],
  compressibility: 'medium',
  coneColour: '#888888',
  lustre: 'matte',
});

/** A matte strand of a cone colour. */
export function strandOf(coneColour: LinearRgb): StrandMaterial {
  return { coneColour, optics: MATTE };
}

function bodyOf(yarn: FixtureYarn, id: string): YarnBody {
  const turns = yarn.turnsPerM ?? 0;
  return {
    id,
    tex: 100,
    shape: yarn.strip ? 'strip' : 'round',
    plies: yarn.plies ?? 1,
    freeWidthMm: yarn.widthMm,
    bodyWidthMm: yarn.widthMm,
    bodyHeightMm: yarn.heightMm,
    contactWidthMm: yarn.widthMm,
    contactHeightMm: yarn.heightMm,
    bendingNmm2: 0.01,
    bendingRangeNmm2: [0.005, 0.02],
    contactStiffnessN: 1,
    twistAngleRad: Math.atan((Math.PI * yarn.widthMm * turns) / 1000),
    twistTurnsPerM: turns,
    twistDirection: 'Z',
    strands: (yarn.colours ?? [0]).map((_, k) => `${id}-${k}`),
  };
}

/** A cloth with given, not solved, heights: threads touch at each crossing, level there unless slopes are given. */
export function clothFixture(options: FixtureOptions): ClothFixture {
  const { ends, rows, warp, weft } = options;
  const periodRows = options.periodRows ?? rows;
  const periodEnds = options.periodEnds ?? ends;
  const drawdown = createDrawdown(rows, ends);
  const warpUp = options.warpUp ?? ((row, end) => ((row + end) & 1) === 0);
  const endYarn = Uint16Array.from({ length: ends }, (_, k) => options.endYarn?.(k) ?? 0);
  const rowYarn = Uint16Array.from({ length: rows }, (_, k) => warp.length + (options.rowYarn?.(k) ?? 0));
  const yarns = [...warp.map((y, k) => bodyOf(y, `warp ${k}`)), ...weft.map((y, k) => bodyOf(y, `weft ${k}`))];
  const fields = { warp: levelField(periodRows * periodEnds), weft: levelField(periodRows * periodEnds) };
  const share = options.warpShare ?? 0.5;
  for (let row = 0; row < rows; row++) {
    for (let end = 0; end < ends; end++) {
      const up = warpUp(row, end);
      if (up) setWarpUp(drawdown, row, end, true);
      if (row >= periodRows || end >= periodEnds) continue;
      const k = row * periodEnds + end;
      const reach = (yarns[endYarn[end]].contactHeightMm + yarns[rowYarn[row]].contactHeightMm) / 2;
      fields.warp.heightMm[k] = (up ? 1 : -1) * share * reach;
      fields.weft.heightMm[k] = (up ? -1 : 1) * (1 - share) * reach;
      for (const family of ['warp', 'weft'] as const) {
        const field = fields[family];
        const [offset, offsetSlope] = options.offsets?.(family, row, end) ?? [0, 0];
        const [width, height] = options.sections?.(family, row, end) ?? [1, 1];
        const [wrapStart, wrapEnd] = options.wraps?.(family, row, end) ?? [0, 0];
        field.offsetMm[k] = offset;
        field.offsetSlope[k] = offsetSlope;
        field.widthFactor[k] = width;
        field.heightFactor[k] = height;
        field.wrapStartMm[k] = wrapStart;
        field.wrapEndMm[k] = wrapEnd;
        field.slope[k] = options.slopes?.(family, row, end) ?? 0;
      }
    }
  }
  const endX = Float64Array.from({ length: ends }, (_, k) => options.endX?.(k) ?? k);
  const rowY = Float64Array.from({ length: rows }, (_, k) => options.rowY?.(k) ?? k);
  const problem: ClothProblem = {
    rows,
    ends,
    drawdown,
    yarns,
    endYarn,
    rowYarn,
    rowPick: Uint32Array.from({ length: rows }, (_, k) => options.rowPick?.(k) ?? k),
    rowFirst: Uint32Array.from({ length: rows }, (_, k) => options.rowSpan?.(k)[0] ?? 0),
    rowLast: Uint32Array.from({ length: rows }, (_, k) => options.rowSpan?.(k)[1] ?? ends - 1),
    rowEntersRight: Uint8Array.from({ length: rows }, (_, k) => k & 1),
    rowEnd: Uint8Array.from({ length: rows }, (_, k) => options.rowEnd?.(k) ?? 0),
    rowTailMm: new Float32Array(rows).fill(options.tailMm ?? 0),
    endXMm: endX,
    endTensionN: new Float64Array(ends).fill(0.5),
    rowTensionN: new Float64Array(rows),
    beat: { firmness: new Float64Array(rows).fill(0.7), scatterShare: 0, seed: 1 },
  };
  const geometry: ClothGeometry = {
    rows,
    ends,
    periodRows,
    periodEnds,
    endXMm: Float32Array.from(endX),
    rowYMm: Float32Array.from(rowY),
    warp: fields.warp,
    weft: fields.weft,
    residuals: { iterations: 0, penetration: 0, forceImbalance: 0, complementarity: 0, converged: true },
  };
  const materials = [...warp, ...weft].map((yarn) => ({
    strands: (yarn.colours ?? [yarn.colour ?? ([0.5, 0.5, 0.5] as const)]).map(strandOf),
  }));
  return { problem, geometry, materials };
}
