import { describe, expect, it } from 'vitest';
import { MATERIAL_TEXELS, MESH_TEXEL } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { createMeshPlace, layerLevel, meshAt } from '#engine/packing/walk/intersectMesh.ts';
import { createTubeSegment } from '#engine/packing/walk/tubeSegment.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { meshCover } from '#engine/yarn/mesh.ts';
import type { ClothFixture } from '#tests/helpers/clothFixtures.ts';
import { loneNet, loneWoundNet } from '#tests/helpers/meshScenes.ts';

/** Of a share p found on n places, twice the standard error; places lie evenly, which errs less than chance. */
const chance = (share: number, n: number) => 2 * Math.sqrt((share * (1 - share)) / n);

/** The k-th of places that fill the unit square evenly and keep step with no mesh (M. Roberts 2018, the R2 sequence). */
function placed(k: number): readonly [number, number] {
  return [evenX(k), evenY(k)];
}
const PLACES = 90_000;

/** What the picture must hold of an open net's transmitted share. */
const COVER_SHARE = 0.02;

/** Share of places that all layers leave open, over 400 threads, where all lie above one another. */
function openShare({ mesh, layers }: { mesh: readonly number[]; layers: number }): number {
  const table = new Float32Array(MATERIAL_TEXELS * 4);
  table.set(mesh, MESH_TEXEL * 4);
  const place = createMeshPlace();
  const [threads, each] = [400, 500];
  let open = 0;
  for (let k = 0; k < threads * each; k++) {
    const segment = { ...createTubeSegment(), mesh: MESH_TEXEL * 4, thread: 2 * Math.floor(k / each) };
    const [u, v] = placed(k);
    const met = (layer: number) => {
      const chord = Math.sqrt(1 - layerLevel(layer, layers) ** 2);
      return meshAt(place, table, segment, layer, chord, 0.6 * v - 0.3, 12, 200 * u).part > 0;
    };
    if (!Array.from({ length: layers }, (_, layer) => layer).some(met)) open++;
  }
  return open / (threads * each);
}

describe('an open strip laid flat', () => {
  const shapes = ['hexagon', 'square'] as const;
  it.each(shapes.flatMap((shape) => [0.05, 0.12, 0.3].map((bar) => ({ shape, bar }))))(
    'covers what bars of $bar mm, 1 mm apart, cover ($shape): 1 − (1 − d/p)², plane geometry',
    ({ shape, bar }) => {
      const table = new Float32Array(MATERIAL_TEXELS * 4);
      table.set([shape === 'hexagon' ? 1 : 2, 1, bar, 1, 40, 0, 0, 0, 0, 0, 0, 0], MESH_TEXEL * 4);
      const segment = { ...createTubeSegment(), mesh: MESH_TEXEL * 4, thread: 4 };
      const place = createMeshPlace();
      let met = 0;
      for (let k = 0; k < PLACES; k++) {
        const [u, v] = placed(k);
        if (meshAt(place, table, segment, 0, 1, 2 * v - 1, 1, 200 * u).part > 0) met++;
      }
      const cover = meshCover(1, bar);
      expect(Math.abs(met / PLACES - cover)).toBeLessThan(COVER_SHARE * cover + chance(cover, PLACES));
    },
  );

  it('lets through as much as its cover factor leaves open, seen square on, in the walk', () => {
    const net = loneNet({ layers: 1 });
    const walker = new ClothWalker(packCloth(net.problem, net.geometry, net.materials));
    const hit = createWalkHit();
    let met = 0;
    for (let k = 0; k < PLACES; k++) {
      const [u, v] = placed(k);
      // Within the strip's flat middle.
      if (walker.walk(hit, 10 * u - 5, 20 * v - 10, 10, 0, 0, -1, 0, 100)) met++;
    }
    const cover = meshCover(1.6, 0.2);
    expect(Math.abs(met / PLACES - cover)).toBeLessThan(COVER_SHARE * cover + chance(cover, PLACES));
  });

  it('of several layers that lie anyhow lets through the product of what each leaves open', () => {
    const layers = 5;
    const net = loneNet({ layers });
    const walker = new ClothWalker(packCloth(net.problem, net.geometry, net.materials));
    const hit = createWalkHit();
    let met = 0;
    for (let k = 0; k < PLACES; k++) {
      const [u, v] = placed(k);
      // Where all five chords are above one another.
      if (walker.walk(hit, 6.8 * u - 3.4, 20 * v - 10, 10, 0, 0, -1, 0, 100)) met++;
    }
    // Bars keep their width where the strip is squeezed across: it is laid here as wide as it was cut.
    const open = (1 - meshCover(1.6, 0.2)) ** layers;
    // Five places of chance: meshes of a few holes' width lie over one another in some ways only.
    expect(Math.abs(1 - met / PLACES - open)).toBeLessThan(0.08 * open);
  });

  // Layers lie askew to one another and slip, from thread to thread otherwise: over many threads by chance alone.
  it.each([
    { shape: 1, pitch: 1.6, bar: 0.2, layers: 3 },
    { shape: 1, pitch: 1.6, bar: 0.2, layers: 8 },
    { shape: 2, pitch: 0.5, bar: 0.08, layers: 2 },
    { shape: 2, pitch: 0.5, bar: 0.08, layers: 4 },
  ])(
    'over many threads, $layers layers of mesh $shape let through (1 − c) to their number',
    ({ shape, pitch, bar, layers }) => {
      const open = openShare({ mesh: [shape, pitch, bar, layers], layers });
      const closed = (1 - meshCover(pitch, bar)) ** layers;
      expect(Math.abs(open / closed - 1)).toBeLessThan(COVER_SHARE);
    },
  );

  // Paint leaves a hole a round gap of radius 1.3 p (u − 0.1), u even in 0..1, so that at r from its middle it is open with the
  // chance 0.9 − r / 1.3 p. The mean distance from the middle of a hexagon of side s is s (1/3 + ln 3 / 4), of a square of side a
  // a (√2 + ln(1 + √2)) / 6 (plane geometry).
  it.each([
    { name: 'hexagons', shape: 1, pitch: 1.6, bar: 0.2, mean: (1 / 3 + Math.log(3) / 4) / Math.sqrt(3) },
    { name: 'squares', shape: 2, pitch: 0.5, bar: 0.08, mean: (Math.SQRT2 + Math.log(1 + Math.SQRT2)) / 6 },
  ])('painted all over, $name stay open by their gaps', ({ shape, pitch, bar, mean }) => {
    const open = openShare({ mesh: [shape, pitch, bar, 1, 0, 0, 0, 0, 1, 4], layers: 1 });
    const closed = (1 - bar / pitch) ** 2 * (0.9 - (mean * (1 - bar / pitch)) / 1.3);
    expect(Math.abs(open / closed - 1)).toBeLessThan(COVER_SHARE);
  });

  /** Half of the strand that a net is wound about, over half of the section, which is 12 mm wide. */
  const CORE = 0.45;
  it('wound about a closed strand lets through nothing where that lies, and beside it as much as alone', () => {
    const walker = (net: ClothFixture) => new ClothWalker(packCloth(net.problem, net.geometry, net.materials));
    const alone = walker(loneNet({ layers: 5 }));
    const wound = walker(loneWoundNet(CORE, { layers: 5 }));
    const hit = createWalkHit();
    const met = (each: ClothWalker, x: number, y: number) => each.walk(hit, x, y, 10, 0, 0, -1, 0, 100);
    let behind = 0;
    for (let k = 0; k < PLACES / 10; k++) {
      const [u, v] = placed(k);
      const x = 5.8 * (2 * u - 1);
      const inCore = Math.abs(x) < 6 * CORE;
      // Seen square on, a straight strand hides just its own width.
      if (Math.abs(Math.abs(x) - 6 * CORE) < 0.01) continue;
      const sees = met(wound, x, 20 * v - 10);
      if (inCore) expect(sees).toBe(true);
      else expect(sees).toBe(met(alone, x, 20 * v - 10));
      // What is met there is the strand itself where none of the layers over it is in the way.
      if (inCore && sees) {
        const half = 0.2 * Math.sqrt(CORE ** 2 - (x / 6) ** 2);
        expect(10 - hit.t).toBeGreaterThan(half - 1e-3);
        if (10 - hit.t < half + 1e-3) behind++;
      }
    }
    expect(behind).toBeGreaterThan(0);
  });

  it('over the strand that it is wound about, the layers above it alone are in the way: (1 − d/p)² each', () => {
    const walker = (() => {
      const net = loneWoundNet(CORE, { layers: 5 });
      return new ClothWalker(packCloth(net.problem, net.geometry, net.materials));
    })();
    const hit = createWalkHit();
    let seen = 0;
    let all = 0;
    for (let k = 0; k < PLACES; k++) {
      const [u, v] = placed(k);
      // In the middle of the strand: of layers at 0.8, 0.4, 0, -0.4, -0.8 of the half height one lies over 0.45.
      const x = 1.5 * (2 * u - 1);
      if (!walker.walk(hit, x, 20 * v - 10, 10, 0, 0, -1, 0, 100)) continue;
      all++;
      if (10 - hit.t < 0.2 * CORE + 1e-3) seen++;
    }
    const open = 1 - meshCover(1.6, 0.2);
    expect(all).toBe(PLACES);
    expect(Math.abs(seen / all - open)).toBeLessThan(COVER_SHARE * open + chance(open, PLACES));
  });
});
