import { describe, expect, it } from 'vitest';
import { packCloth } from '#engine/packing/packCloth.ts';
import { surfaceNormal } from '#engine/packing/walk/surface.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { enclosingRadiusRatio } from '#engine/yarn/circlePacking.ts';
import { plyHelix } from '#engine/yarn/twist.ts';
import { clothFixture } from '#tests/helpers/clothFixtures.ts';
import { caseById, expectWithin } from './cases.ts';

/** Rays over a width, in its middle parts; their sums are off by about 1/RAYS where a share ends between two. */
const RAYS = 4000;
const SHARES = { abs: 1 / 2000 };
/** Threads' sections are kept in half floats (2^-11 of their size), their surfaces are found to 1e-4 of it. */
const WIDTHS = { rel: 1e-3 };

const DEGREE = Math.PI / 180;
const FAR_MM = 50;

interface Row {
  readonly widthMm: number;
  readonly heightMm?: number;
  readonly pitchMm: number;
  readonly ends?: number;
}

/** Straight ends side by side, seen between two thin picks far apart. */
class Ends {
  readonly walker: ClothWalker;
  readonly middle: number;
  private readonly hit = createWalkHit();
  private readonly normal = new Float64Array(3);

  constructor({ widthMm, heightMm = widthMm, pitchMm, ends = 3 }: Row) {
    const { problem, geometry, materials } = clothFixture({
      ends,
      rows: 3,
      warpUp: () => true,
      // All reach in the picks' share: the ends lie at one height.
      warpShare: 0,
      endX: (end) => pitchMm * end,
      rowY: (row) => 20 * row,
      warp: [{ widthMm, heightMm }],
      weft: [{ widthMm: 0.01, heightMm: 0.01 }],
    });
    this.walker = new ClothWalker(packCloth(problem, geometry, materials));
    this.middle = pitchMm * Math.floor(ends / 2);
  }

  /**
   * Looks square to the ends, turned by `tilt` about them from above, `across` mm beside the middle end's axis in the
   * view's own plane. The normal met, in the plane of the section: sideways and up as seen; null for none.
   */
  look(across: number, tilt = 0): readonly [number, number] | null {
    const [s, c] = [Math.sin(tilt), Math.cos(tilt)];
    const { hit, normal } = this;
    const ox = this.middle + across * c + FAR_MM * s;
    const oz = -across * s + FAR_MM * c;
    if (!this.walker.walk(hit, ox, 10, oz, -s, 0, -c, 0, 1e3)) return null;
    surfaceNormal(normal, this.walker, hit, ox - hit.t * s, 10, oz - hit.t * c);
    expect(normal[1]).toBeCloseTo(0, 6);
    return [normal[0] * c - normal[2] * s, normal[0] * s + normal[2] * c];
  }

  /** Half the width seen on the side of positive `across`. */
  edge(tilt: number, most: number): number {
    let [low, high] = [0, most];
    for (let step = 0; step < 40; step++) {
      const at = 0.5 * (low + high);
      if (this.look(at, tilt)) low = at;
      else high = at;
    }
    return low;
  }
}

const alone = new Ends({ widthMm: 1, pitchMm: 200 });

/** Normals over the width of a round thread of diameter 1, from edge to edge. */
function overWidth(use: (sideways: number, up: number) => void): void {
  for (let k = 0; k < RAYS; k++) {
    const normal = alone.look((k + 0.5) / RAYS - 0.5);
    if (normal) use(...normal);
  }
}

describe('a round thread, as rays meet it', () => {
  it('OP-29: is as wide from all round, half of it seen, and covers pi/4 pointing at random', () => {
    const { expected } = caseById<
      unknown,
      Record<
        | 'projected_width_any_azimuth'
        | 'mean_projected_area_over_all_directions_per_length'
        | 'visible_fraction_of_surface',
        number
      >
    >('appearance', 'OP-29');
    for (const tilt of [0, 25, 60, 90, 140, 180, 250]) {
      const width = alone.edge(tilt * DEGREE, 1) + alone.edge(tilt * DEGREE + Math.PI, 1);
      expectWithin(width, expected.projected_width_any_azimuth, WIDTHS, `from ${tilt}°`);
    }
    // Width seen of arc 1 in the direction of its normal is its cosine, so the arc is the sum of 1/cosine.
    let arc = 0;
    let cosines = 0;
    overWidth((_, up) => {
      arc += 1 / (RAYS * up);
      cosines += up / RAYS;
    });
    // The sum of 1/sqrt(1 − x²) at midpoints lacks about 0.6/sqrt(RAYS) near the edges.
    expectWithin(arc / Math.PI, expected.visible_fraction_of_surface, { abs: 0.01 }, 'seen');
    // Mean width over directions all round space is the mean sine to the axis, pi/4; that of the normals seen as well.
    expectWithin(cosines, expected.mean_projected_area_over_all_directions_per_length, SHARES, 'mean');
  });

  it('OP-30, OP-31: lit share and matte brightness by the angle between eye and light', () => {
    const share = caseById<
      { angle_between_view_and_light_deg: number[] },
      { lit_share_of_projected_width: number[]; lit_and_visible_share_of_circumference: number[] }
    >('appearance', 'OP-30');
    const matte = caseById<unknown, { mean_brightness_over_projected_width: number[] }>('appearance', 'OP-31');
    share.inputs.angle_between_view_and_light_deg.forEach((angle, k) => {
      const [s, c] = [Math.sin(angle * DEGREE), Math.cos(angle * DEGREE)];
      let lit = 0;
      let brightness = 0;
      let first = Math.PI;
      let last = -Math.PI;
      overWidth((sideways, up) => {
        const cosine = sideways * s + up * c;
        if (cosine <= 0) return;
        lit += 1 / RAYS;
        brightness += cosine / RAYS;
        const around = Math.atan2(sideways, up);
        first = Math.min(first, around);
        last = Math.max(last, around);
      });
      expectWithin(lit, share.expected.lit_share_of_projected_width[k], SHARES, `${angle}° lit`);
      // The outermost ray stands at 1 − 1/RAYS of the radius, where the normal is 0.03 rad short of the edge.
      const arc = (last - first) / (2 * Math.PI);
      const published = share.expected.lit_and_visible_share_of_circumference[k];
      expectWithin(arc, published, { abs: 0.01 }, `${angle}° lit and seen`);
      expectWithin(brightness, matte.expected.mean_brightness_over_projected_width[k], SHARES, `${angle}° matte`);
    });
  });

  it('OP-33: mirrors a light where its normal stands half way', () => {
    const { inputs, expected } = caseById<
      { angle_between_view_and_light_deg: number[] },
      { highlight_offset_from_centre_line: number[] }
    >('appearance', 'OP-33');
    inputs.angle_between_view_and_light_deg.forEach((angle, k) => {
      let [low, high] = [-0.5, 0.5];
      for (let step = 0; step < 40; step++) {
        const at = 0.5 * (low + high);
        const normal = alone.look(at);
        if (!normal) throw new Error(`a round thread of diameter 1 has a gap at ${at}`);
        if (Math.atan2(normal[0], normal[1]) < (angle * DEGREE) / 2) low = at;
        else high = at;
      }
      // In radii.
      expectWithin(2 * low, expected.highlight_offset_from_centre_line[k], { abs: 1e-3 }, `${angle}°`);
    });
  });

  it('OP-34: rows of them close as they are tilted', () => {
    const { inputs, expected } = caseById<
      { row_of_cylinders_d_over_pitch: number[]; tilt_square_to_axis_deg: number[] },
      { projected_cover: number[][]; closes_at_deg: number[] }
    >('appearance', 'OP-34');
    inputs.row_of_cylinders_d_over_pitch.forEach((width, r) => {
      const row = new Ends({ widthMm: width, pitchMm: 1, ends: 121 });
      const cover = (degrees: number): number => {
        const seen = Math.cos(degrees * DEGREE);
        let met = 0;
        for (let k = 0; k < RAYS; k++) if (row.look(((k + 0.5) / RAYS - 0.5) * seen, degrees * DEGREE)) met++;
        return met / RAYS;
      };
      inputs.tilt_square_to_axis_deg.forEach((tilt, k) => {
        expectWithin(cover(tilt), expected.projected_cover[r][k], { rel: 1e-3 }, `d/p ${width}, ${tilt}°`);
      });
      // Cover rises by up to 0.03 a degree there; half a degree to either side tells open from closed.
      expect(cover(expected.closes_at_deg[r] + 0.5)).toBe(1);
      expect(cover(expected.closes_at_deg[r] - 0.5)).toBeLessThan(1);
    });
  });

  it('OP-36: flattened to the ellipse that is drawn, is as wide on the mean as its outline over pi', () => {
    const { expected } = caseById<unknown, { ellipse: number }>('appearance', 'OP-36');
    const flat = new Ends({ widthMm: 0.4, heightMm: 0.2, pitchMm: 200 });
    const turns = 90;
    let mean = 0;
    for (let k = 0; k < turns; k++) mean += (2 * flat.edge((Math.PI * (k + 0.5)) / turns, 1)) / turns;
    expectWithin(mean, expected.ellipse, WIDTHS, 'mean width');
  });
});

describe('a plied thread', () => {
  it('OP-37: two plies are widest side by side, and no ply reaches beyond the round that holds them', () => {
    const { inputs, expected } = caseById<
      { n: number[] },
      { mean_projected_width_of_hull: number[]; largest_projected_width_two_ply: number }
    >('appearance', 'OP-37');
    expect(enclosingRadiusRatio(2)).toBe(expected.largest_projected_width_two_ply);
    inputs.n.forEach((plies, k) => {
      const round = enclosingRadiusRatio(plies);
      // The hull touches the round at n places: it is never wider, and for n = 1 as wide.
      if (plies === 1) expect(round).toBe(expected.mean_projected_width_of_hull[k]);
      else expect(round).toBeGreaterThan(expected.mean_projected_width_of_hull[k]);
      if (plies < 2 || plies > 5) return;
      // A ring of plies turns about its axis: its hull's outline is that of the polygon of centres and of one ply.
      const { helixRadiusMm } = plyHelix(plies, 1, 0);
      const side = 2 * helixRadiusMm * Math.sin(Math.PI / plies);
      expectWithin(
        (plies * side + Math.PI) / Math.PI,
        expected.mean_projected_width_of_hull[k],
        { rel: 1e-6 },
        `${plies} plies`,
      );
      expectWithin(1 + 2 * helixRadiusMm, round, { rel: 1e-9 }, `${plies} plies, round`);
    });
  });
});
