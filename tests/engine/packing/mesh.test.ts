import { describe, expect, it } from 'vitest';
import { MATERIAL_TEXELS, MESH_TEXEL } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { createMeshPlace, meshAt } from '#engine/packing/walk/intersectMesh.ts';
import { createTubeSegment } from '#engine/packing/walk/tubeSegment.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { evenX, evenY } from '#engine/units/evenPlaces.ts';
import { meshCover } from '#engine/yarn/mesh.ts';
import { loneNet } from '#tests/helpers/meshScenes.ts';

/** Of a share p found on n places, twice the standard error; places lie evenly, which errs less than chance. */
const chance = (share: number, n: number) => 2 * Math.sqrt((share * (1 - share)) / n);

/** The k-th of places that fill the unit square evenly and keep step with no mesh (M. Roberts 2018, the R2 sequence). */
function placed(k: number): readonly [number, number] {
  return [evenX(k), evenY(k)];
}
const PLACES = 90_000;

/** What the picture must hold of an open net's transmitted share. */
const COVER_SHARE = 0.02;

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
});
