import { afterAll, describe, expect, test } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { MESH_TEXEL, shaderConstants, TABLE_WIDTH } from '#engine/packing/clothBufferLayout.ts';
import { createMeshPlace, layerLevel, meshAt } from '#engine/packing/walk/intersectMesh.ts';
import { createTubeSegment } from '#engine/packing/walk/tubeSegment.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { meshCover } from '#engine/yarn/mesh.ts';
import { composeShader } from '#render/shaderSource.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { loneNet, NETS_APART_MM, net, netsBeside, paintedNet, withMesh } from '#tests/helpers/meshScenes.ts';
import { bindTable, PROBE_TEXELS, runShaderProbe } from '#tests/helpers/shaderProbe.ts';
import { ALL_ROUND, compareWalks, shareBelow } from '#tests/helpers/walkAgreement.ts';

const SIZE = 96;
/** Single precision moves a bar's edge by up to 1e-4 mm; bars have more edge than threads. */
const SAME_THREAD_SHARE = 0.985;
const SAME_DEPTH_SHARE = 0.97;
const DEPTH_MM = 3e-3;
/** Normals are kept to 1/65535 and lean with the distance from the bar's middle, 0.1 mm off it: 1e-3 mm is 0.01. */
const NORMAL = 0.05;
const SAME_NORMAL_SHARE = 0.95;
/** Linear light of an sRGB byte (IEC 61966-2-1). */
const linear = (byte: number): number => linearFromHex(`#${byte.toString(16).padStart(2, '0').repeat(3)}`)[0];
/** Of an open net's transmitted share. */
const COVER_SHARE = 0.02;

const PLACES = 100_000;
const squares = net({ shape: 'square', pitchMm: 0.5, barMm: 0.08 });

const plain = clothFixture({
  ends: 7,
  rows: 7,
  warp: [{ widthMm: 0.6, heightMm: 0.6 }],
  weft: [{ widthMm: 1.6, heightMm: 0.9, strip: true }],
  endX: (end) => 1.5 * end,
  rowY: (row) => 1.5 * row,
});

describe('open strips', () => {
  const { view, shaderErrors, close } = openView();
  afterAll(close);

  const scenes = [
    { name: 'net', cloth: withMesh(plain, net({ turnsPerMm: 0.05 })) },
    { name: 'net with paint and glitter', cloth: withMesh(plain, paintedNet()) },
    {
      name: 'net wound about a strand',
      cloth: withMesh(plain, paintedNet({ turnsPerMm: 0.05, coreShare: 0.45, bars: plain.materials[0].strands[0] })),
    },
    {
      name: 'squares both ways',
      cloth: withMesh(plain, squares, true),
    },
  ];
  for (const { name, cloth } of scenes) {
    test(`the shader walk meets what the TypeScript walk meets: ${name}`, async () => {
      const packed = pack(cloth);
      view.setCloth(packed);
      view.setSize(SIZE, SIZE);
      for (const [poseName, turn] of Object.entries(ALL_ROUND)) {
        const walks = await compareWalks({ view, shaderErrors }, packed, turn, SIZE);
        expect(walks.same, `${poseName}: share on the same thread`).toBeGreaterThan(SAME_THREAD_SHARE);
        const near = walks.normal.filter((_, k) => walks.depthMm[k] < DEPTH_MM);
        expect(near.length / walks.seen, `${poseName}: share at the same depth`).toBeGreaterThan(SAME_DEPTH_SHARE);
        expect(shareBelow(near, NORMAL), `${poseName}: share that faces the same way`).toBeGreaterThan(
          SAME_NORMAL_SHARE,
        );
        expect(walks.seen, poseName).toBeGreaterThan(1000);
      }
    });
  }

  // Layers lie askew to one another and slip otherwise in each of twelve strips: over all of them by chance alone.
  test.each([
    { name: 'one layer of hexagons', mesh: { layers: 1 } },
    { name: 'three layers of hexagons', mesh: { layers: 3 } },
    { name: 'one layer of squares', mesh: { shape: 'square', pitchMm: 0.5, barMm: 0.08, layers: 1 } },
    { name: 'two layers of squares', mesh: { shape: 'square', pitchMm: 0.5, barMm: 0.08, layers: 2 } },
  ] as const)('held against the window, $name let through what their cover factor leaves open', async ({ mesh }) => {
    const strips = 12;
    view.setCloth(pack(netsBeside(strips, mesh)));
    const pixelsPerMm = 2;
    const [width, height] = [strips * NETS_APART_MM * pixelsPerMm, 24 * pixelsPerMm];
    view.setSize(width, height);
    const level = { yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, fieldOfViewRad: 0 };
    view.setView({ ...view.fitPose(), ...level, centreMm: [((strips - 1) * NETS_APART_MM) / 2, 0], pixelsPerMm });
    view.setOptions({ backLit: true });
    const { pixels } = await view.capture(width, height, 16);
    expect(shaderErrors).toEqual([]);
    let [light, count] = [0, 0];
    for (let p = 0; p < width * height; p++) {
      // Within 4 mm of a strip's middle all its layers lie above one another.
      const aside = ((p % width) + 0.5) / pixelsPerMm / NETS_APART_MM;
      if (Math.abs((aside % 1) - 0.5) * NETS_APART_MM > 4) continue;
      light += linear(pixels[4 * p]);
      count++;
    }
    const { layers, pitchMm, barMm } = net(mesh);
    const open = (1 - meshCover(pitchMm, barMm)) ** layers;
    expect(Math.abs(light / count / open - 1)).toBeLessThan(COVER_SHARE);
  });

  test.each([
    { name: 'bare', mesh: net() },
    { name: 'with glitter', mesh: paintedNet({ paint: undefined }) },
    { name: 'half painted', mesh: paintedNet({ glitter: undefined }) },
    { name: 'painted all over', mesh: paintedNet({ paint: { ...paintedNet().paint!, share: 1 } }) },
    { name: 'squares painted all over', mesh: { ...squares, paint: { ...paintedNet().paint!, share: 1 } } },
  ])('what the frame’s light takes layers of net to let through is what they leave open: $name', ({ mesh }) => {
    const { materialTable } = pack(loneNet(mesh));
    const told = runShaderProbe({
      shaders: [composeShader('cloth/meshOpen.glsl', { ...shaderConstants(), MESH: '' })],
      inputs: new Float32Array(PROBE_TEXELS * 4),
      main: `outValue = vec4(${CROSSED.map(([, layers, folded]) => `meshPasses(MESH_TEXEL, ${layers}.0, ${folded}.0)`)});`,
      bind: (gl, program) => bindTable(gl, program, 2, 'uMaterialTable', materialTable, TABLE_WIDTH),
    });
    for (const [k, [first, layers]] of CROSSED.entries()) {
      const off = told[k] / shareOpen(materialTable, first, layers) - 1;
      expect(Math.abs(off), `${layers} from ${first}`).toBeLessThan(COVER_SHARE);
    }
  });
});

/** Layers that light crosses of a strip of three: the first, how many, and how many pairs of them are folded about one edge. */
const CROSSED = [
  [0, 1, 0],
  [0, 2, 1],
  [1, 2, 0],
  [0, 3, 1],
] as const;

/** Of places over strips of three layers near their middle, how many are open through so many of them from `first` on. */
function shareOpen(table: Float32Array, first: number, count: number): number {
  const place = createMeshPlace();
  let open = 0;
  for (let k = 0; k < PLACES; k++) {
    const segment = { ...createTubeSegment(), mesh: MESH_TEXEL * 4, thread: k % 200 };
    const across = 0.3 * (2 * evenX(k) - 1);
    let passes = true;
    for (let layer = first; layer < first + count && passes; layer++) {
      const chord = Math.sqrt(1 - layerLevel(layer, 3) ** 2);
      passes = meshAt(place, table, segment, layer, chord, across, 12, 400 * evenY(k)).part === 0;
    }
    if (passes) open++;
  }
  return open / PLACES;
}
