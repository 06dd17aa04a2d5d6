import { regionProblem } from '#engine/cloth/forecast/regionProblem.ts';
import { solveHeights } from '#engine/cloth/heights/solveHeights.ts';
import { threadLengths } from '#engine/cloth/states/threadLengths.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave, twill } from '#engine/weave/basicWeaves.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem, roundBody } from '#tests/helpers/problems.ts';
import { casesOfTopic } from '../cases.ts';

export interface MassRow {
  readonly id: string;
  readonly fabric: string;
  readonly measuredGPerM2: number;
  readonly withinShare: number;
  readonly forecastGPerM2: number;
  readonly measuredMm?: number;
  readonly forecastMm: number;
  readonly assumed: string;
}

interface Told {
  readonly fabric: string;
  readonly epi?: number;
  readonly ppi?: number;
  readonly ends_cm?: number;
  readonly picks_cm?: number;
  readonly tex_warp?: number;
  readonly tex_weft?: number;
  readonly tow_tex?: number;
  readonly Ne_warp?: number;
  readonly Ne_weft?: number;
  readonly rho?: number;
}

const NE = 590.54;
/** Share of its pitch over which a spread tow lies, and its packing (from memory of laminate sections). */
const SPREAD = 0.9;
const TOW_PACKING = 0.7;
const MM2_PER_TEX = 1e-3;

/** A flat tow as wide as it finds room for, or a round spun yarn of packing 0.6. */
function yarnOf(id: string, tex: number, density: number, pitchMm: number, tow: boolean): YarnBody {
  const area = (tex * MM2_PER_TEX) / (density * (tow ? TOW_PACKING : 0.6));
  const round = Math.sqrt((4 * area) / Math.PI);
  const widthMm = tow ? Math.max(round, SPREAD * pitchMm) : round;
  const heightMm = area / (widthMm * (Math.PI / 4));
  return {
    ...roundBody(id, widthMm, 0.0002 * tex, tex),
    contactHeightMm: heightMm,
    bodyHeightMm: heightMm,
  };
}

/** Weight and thickness of a cloth whose spacing is told, heights solved at it without tension. */
function weigh(weave: Drawdown, warp: YarnBody, weft: YarnBody, endsPerCm: number, picksPerCm: number) {
  const problem = clothProblem({ weave, rows: 24, ends: 24, endsPerCm, warp: [warp], weft: [weft], endTensionN: 0 });
  const { rows, ends } = weave;
  const rowYMm = Float64Array.from({ length: 25 }, (_, row) => (row * 10) / picksPerCm);
  const slack = { ...problem, rowTensionN: new Float64Array(24) };
  const region = { firstRow: 8, rows, firstEnd: 0, ends, boundary: 'periodic' as const };
  const heights = regionProblem(slack, region, rowYMm);
  const solved = finish(solveHeights(heights));
  const { warpByEnd, weftByRow } = threadLengths(heights, solved);
  const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const high = (heightsMm: Float64Array, own: number) => 2 * Math.max(...heightsMm.map(Math.abs)) + own;
  return {
    // Threads a cm times 100 are threads a metre; tex is g/km.
    gPerM2: (100 * endsPerCm * warp.tex * mean(warpByEnd) + 100 * picksPerCm * weft.tex * mean(weftByRow)) / 1000,
    thicknessMm: Math.max(
      high(solved.warpHeightMm, warp.contactHeightMm),
      high(solved.weftHeightMm, weft.contactHeightMm),
    ),
  };
}

/** The woven fabrics of topic 09 of which count, sett and weight are told. */
export function massRows(): MassRow[] {
  return casesOfTopic('textile', '09').flatMap(({ id, inputs, expected, tolerance }) => {
    const told = inputs as unknown as Told;
    const wanted = expected as { g_m2?: number; oz_yd2?: number; thickness_mm?: number; thickness_in?: number };
    const texWarp = told.tex_warp ?? told.tow_tex ?? (told.Ne_warp ? NE / told.Ne_warp : undefined);
    const texWeft = told.tex_weft ?? told.tow_tex ?? (told.Ne_weft ? NE / told.Ne_weft : undefined);
    const endsPerCm = told.ends_cm ?? (told.epi ? told.epi / 2.54 : undefined);
    const picksPerCm = told.picks_cm ?? (told.ppi ? told.ppi / 2.54 : undefined);
    const measured = wanted.g_m2 ?? (wanted.oz_yd2 ? wanted.oz_yd2 * 33.906 : undefined);
    if (!texWarp || !texWeft || !endsPerCm || !picksPerCm || !measured) return [];
    const tow = told.Ne_warp === undefined;
    const density = told.rho ?? (told.tow_tex ? 1.76 : tow ? 1.75 : 1.52);
    const warp = yarnOf('warp', texWarp, density, 10 / endsPerCm, tow);
    const weft = yarnOf('weft', texWeft, density, 10 / picksPerCm, tow);
    const weave = told.fabric.includes('2/2') ? twill([2, 2]) : plainWeave();
    const { gPerM2, thicknessMm } = weigh(weave, warp, weft, endsPerCm, picksPerCm);
    const within = tolerance as { mass_rel?: number; rel?: number; mass_ratio_to_no_crimp?: readonly number[] };
    const measuredMm = wanted.thickness_mm ?? (wanted.thickness_in ? wanted.thickness_in * 25.4 : undefined);
    return [
      {
        id,
        fabric: told.fabric,
        measuredGPerM2: measured,
        withinShare: within.mass_rel ?? within.rel ?? 0.07,
        forecastGPerM2: gPerM2,
        ...(measuredMm ? { measuredMm } : {}),
        forecastMm: thicknessMm,
        assumed: tow ? 'tows spread over 0.9 of their pitch, packing 0.7' : 'round yarns of packing 0.6; no size',
      },
    ];
  });
}
