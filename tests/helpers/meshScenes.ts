import { linearFromHex } from '#engine/colour/colour.ts';
import type { MeshMaterial } from '#engine/packing/strandMaterial.ts';
import { faceOptics } from '#engine/yarn/yarnOptics.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { type ClothFixture, clothFixture } from './clothFixtures.ts';

const NET: YarnRecord = {
  format: 'forecloth-yarn',
  version: 2,
  id: 'net',
  name: 'net',
  fibre: 'nylon net',
  tex: 400,
  plies: 1,
  shape: 'strip',
  stripWidthMm: 12,
  packingFraction: 0.3,
  fibreDensityGPerCm3: 1.14,
  bendingNmm2: [0.01, 0.02],
  compressibility: 'high',
  coneColour: '#f0efeb',
  lustre: 'satin',
};

/** A net of hexagons 1.6 mm between flats with bars of 0.2 mm, unless told otherwise. */
export function net(more: Partial<MeshMaterial> = {}): MeshMaterial {
  return { shape: 'hexagon', pitchMm: 1.6, barMm: 0.2, layers: 3, turnsPerMm: 0, ...more };
}

/** With points of glitter and patches of paint. */
export function paintedNet(more: Partial<MeshMaterial> = {}): MeshMaterial {
  return net({
    glitter: { coneColour: [0.8, 0.8, 0.8], optics: faceOptics(NET, 'film'), perMm2: 6, diameterMm: 0.15 },
    paint: { coneColour: linearFromHex('#3f7f86'), optics: faceOptics(NET, 'matte'), share: 0.5, patchMm: 4 },
    ...more,
  });
}

/** The fixture with its weft, or all of it, as net. */
export function withMesh(cloth: ClothFixture, mesh: MeshMaterial, all = false): ClothFixture {
  const warps = cloth.problem.endYarn.reduce((most, yarn) => Math.max(most, yarn + 1), 0);
  return {
    ...cloth,
    materials: cloth.materials.map((material, k) => (all || k >= warps ? { ...material, mesh } : material)),
  };
}

/** One straight net end, 12 mm wide and 40 mm long, between ends and picks too thin and far off to be met. */
export function loneNet(more: Partial<MeshMaterial> = {}): ClothFixture {
  const widthMm = 12;
  const layers = more.layers ?? 1;
  const thin = { widthMm: 1e-4, heightMm: 1e-4 };
  const cloth = clothFixture({
    ends: 3,
    rows: 3,
    warp: [{ widthMm, heightMm: 0.4, strip: true }, thin],
    weft: [thin],
    endYarn: (end) => (end === 1 ? 0 : 1),
    endX: (end) => (end - 1) * 60,
    rowY: (row) => (row - 1) * 20,
    warpShare: 0,
  });
  // Each layer holds as much strip as its chord is long.
  const mesh = net({ layers, ...more });
  return { ...cloth, materials: cloth.materials.map((each, k) => (k === 0 ? { ...each, mesh } : each)) };
}

/** As `loneNet`, so many ends of it, `NETS_APART_MM` apart from 0 on: each lies as its own number has it. */
export function netsBeside(count: number, more: Partial<MeshMaterial> = {}): ClothFixture {
  const cloth = clothFixture({
    ends: count,
    rows: 3,
    warp: [{ widthMm: 12, heightMm: 0.4, strip: true }],
    weft: [{ widthMm: 1e-4, heightMm: 1e-4 }],
    endX: (end) => end * NETS_APART_MM,
    rowY: (row) => (row - 1) * 20,
    warpShare: 0,
  });
  return { ...cloth, materials: cloth.materials.map((each, k) => (k === 0 ? { ...each, mesh: net(more) } : each)) };
}

export const NETS_APART_MM = 14;

/** The lone net wound about a closed strand, which takes this share of its width and height. */
export function loneWoundNet(coreShare: number, more: Partial<MeshMaterial> = {}): ClothFixture {
  const cloth = loneNet(more);
  return {
    ...cloth,
    materials: cloth.materials.map((each) =>
      each.mesh ? { ...each, mesh: { ...each.mesh, bars: each.strands[0], coreShare } } : each,
    ),
  };
}
