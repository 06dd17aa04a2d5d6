import { afterAll, describe, expect, test } from 'vitest';
import { openView, pack } from '#tests/helpers/clothProbe.ts';
import { oracleScenes } from '#tests/helpers/oracleScenes.ts';
import { drawOracle } from '#tests/helpers/tubeOracle.ts';

const SIZE = 128;
/** Farther than one pixel from any edge the two pictures may differ by rounding at a grazing touch only. */
const SAME_THREAD_SHARE = 0.995;
/** Depth over D, the half-thickness sum at a contact: triangles 1/24 of a pitch long, half floats, third-order sections. */
const DEPTH_OVER_D = 0.02;
/** At a thread's rim, and where it is seen past its own crown, depth runs away within a pixel of one id. */
const DEPTH_SHARE = 0.985;

describe('the walk against tessellated tubes drawn by the rasteriser', () => {
  const { view, renderer, shaderErrors, close } = openView();
  afterAll(close);

  for (const { name, cloth, turn, zoom } of oracleScenes()) {
    test(name, async () => {
      const packed = pack(cloth);
      expect(packed.warnings).toEqual([]);
      view.setCloth(packed);
      view.setSize(SIZE, SIZE);
      view.setView({ yawRad: 0, pitchRad: 0, rollRad: 0, turnedOver: false, ...turn });
      const fitted = view.fitPose();
      view.setView({ ...fitted, pixelsPerMm: fitted.pixelsPerMm * zoom });
      const walked = await view.readBuffers(SIZE, SIZE);
      expect(shaderErrors).toEqual([]);
      const tubes = await drawOracle(renderer, cloth, packed, view.pose, SIZE, SIZE);
      const heightOf = (yarns: Uint16Array) =>
        Math.min(...Array.from(yarns, (yarn) => cloth.problem.yarns[yarn].contactHeightMm));
      const d = (heightOf(cloth.problem.endYarn) + heightOf(cloth.problem.rowYarn)) / 2;
      let compared = 0;
      let same = 0;
      let threads = 0;
      let level = 0;
      for (let y = 1; y < SIZE - 1; y++) {
        for (let x = 1; x < SIZE - 1; x++) {
          const p = y * SIZE + x;
          if (nearEdge(walked.owner, p) || nearEdge(tubes.owner, p)) continue;
          compared++;
          if (walked.owner[p] !== tubes.owner[p]) continue;
          same++;
          if (walked.kind[p] !== 1 && walked.kind[p] !== 2) continue;
          threads++;
          if (Math.abs(walked.depthMm[p] - tubes.depthMm[p]) <= DEPTH_OVER_D * d) level++;
        }
      }
      expect(threads, 'pixels on threads').toBeGreaterThan(600);
      expect(same / compared, 'share of pixels on the same thread').toBeGreaterThanOrEqual(SAME_THREAD_SHARE);
      expect(level / threads, 'share of thread pixels at the same depth').toBeGreaterThanOrEqual(DEPTH_SHARE);
    });
  }
});

function nearEdge(owner: Int32Array, p: number): boolean {
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) if (owner[p + dy * SIZE + dx] !== owner[p]) return true;
  }
  return false;
}
