import { formatCount } from '#engine/units/formatCount.ts';
import { stripTex } from './diameter.ts';
import { labelRead } from './fibreLabel.ts';
import { meshOfKind } from './ownYarnKinds.ts';
import {
  estimate,
  figures,
  measuredByYou,
  type OwnYarnMeasured,
  type OwnYarnProblem,
  type Ranged,
} from './ownYarnTypes.ts';

/** A length laid along a tape: to 5 mm at its ends, and as straight as a hand draws it (estimate). */
const TAPE_M = 0.005;
/** How far the length depends on the pull, by how much the yarn stretches (estimates). */
const PULL_SHARE = { none: 0.005, some: 0.015, much: 0.06 } as const;

/** Yarn is sold to within about a twentieth of its count (common practice). */
const LABEL_DOUBT = 0.05;

/** Share of a cut cloth's thickness that is fibre: sheeting, denim, satin 0.33–0.37, jersey 0.19, ribbon 0.44 (g/m² over gauge and density). */
export const SHEET_PACKING: Ranged = { value: 0.33, low: 0.18, high: 0.45 };

/** A ruler is read to half a millimetre. */
export const RULER_MM = 0.5;
/** A gauge is read, or had from a stack of layers, to a hundredth of a millimetre and a twentieth. */
const GAUGE_MM = 0.01;
const GAUGE_SHARE = 0.05;

export interface OwnWeight {
  readonly tex: Ranged;
  readonly from: string;
  readonly plies?: number;
}

export function stripWidthOf(widthMm: number): Ranged {
  return { value: widthMm, low: Math.max(widthMm / 2, widthMm - RULER_MM), high: widthMm + RULER_MM };
}

export function gaugeOf(gaugeMm: number): Ranged {
  const doubt = Math.min(gaugeMm / 2, GAUGE_MM) + GAUGE_SHARE * gaugeMm;
  return { value: gaugeMm, low: gaugeMm - doubt, high: gaugeMm + doubt };
}

/**
 * Linear density and what it may be, tex: by mass and length, T = 1000 m/L with the scale read to one step either way
 * and the length to tape and pull; else by the label's count; else, for a strip, by width, gauge and density. Where two
 * are given and exclude each other the weighed one holds, and it is told.
 */
export function ownWeight(
  measured: OwnYarnMeasured,
  density: Ranged,
  problems: OwnYarnProblem[],
): OwnWeight | undefined {
  const weighed = byScale(measured, problems);
  const labelled = byLabel(measured, problems);
  const found = weighed ?? labelled ?? bySheet(measured, density);
  if (!found) {
    if (!problems.some(({ stops }) => stops)) problems.push(lacking(measured));
    return undefined;
  }
  if (weighed && labelled && (labelled.tex.low > weighed.tex.high || labelled.tex.high < weighed.tex.low)) {
    const [scale, label] = [figures(weighed.tex.value, 3), figures(labelled.tex.value, 3)];
    problems.push({
      at: ['count', 'grams', 'metres'],
      what: `the scale says ${scale} tex and the label ${label} tex`,
      remedy: 'weigh a longer piece, or look whether the label counts one ply; the scale’s figure is used meanwhile',
      stops: false,
    });
  }
  return labelled?.plies === undefined ? found : { ...found, plies: labelled.plies };
}

function lacking({ shape, kind, grams, metres }: OwnYarnMeasured): OwnYarnProblem {
  if (grams !== undefined && metres === undefined) {
    return {
      at: ['metres'],
      what: 'a weight without its length says nothing of the yarn',
      remedy: 'measure the length that you weighed',
      stops: true,
    };
  }
  if (metres !== undefined && grams === undefined) {
    return {
      at: ['grams'],
      what: 'a length without its weight says nothing of the yarn',
      remedy: 'weigh that length',
      stops: true,
    };
  }
  const remedy =
    shape === 'strip' && meshOfKind(kind ?? 'spun') === undefined
      ? 'weigh a length of it, or give width, thickness and fibre'
      : 'weigh a length of it, or copy the count from its label';
  return { at: ['grams', 'metres', 'count'], what: 'how heavy it is, is not known yet', remedy, stops: true };
}

function byScale(measured: OwnYarnMeasured, problems: OwnYarnProblem[]): OwnWeight | undefined {
  const { grams, metres, scaleStepG = 1, stretch = 'some' } = measured;
  if (grams === undefined || metres === undefined) return undefined;
  if (!(grams > 0) || !(metres > 0)) {
    const field = grams > 0 ? 'metres' : 'grams';
    problems.push({
      at: [field],
      what: `${field === 'grams' ? 'a weight' : 'a length'} is above 0`,
      remedy: 'correct it',
      stops: true,
    });
    return undefined;
  }
  if (grams <= 2 * scaleStepG) {
    const enough = figures((metres * 20 * scaleStepG) / grams, 2);
    problems.push({
      at: ['grams', 'metres'],
      what: `${figures(grams)} g is hardly more than a scale of ${scaleStepG} g steps can tell`,
      remedy: `weigh about ${enough} m of it, or use a finer scale`,
      stops: grams <= scaleStepG,
    });
    if (grams <= scaleStepG) return undefined;
  }
  const doubtM = Math.min(metres / 2, TAPE_M) + PULL_SHARE[stretch] * metres;
  return {
    tex: {
      value: (1000 * grams) / metres,
      low: (1000 * (grams - scaleStepG)) / (metres + doubtM),
      high: (1000 * (grams + scaleStepG)) / (metres - doubtM),
    },
    from: `${measuredByYou}: ${figures(grams)} g, to ${scaleStepG} g, in ${figures(metres)} m`,
  };
}

function byLabel({ count, fibre }: OwnYarnMeasured, problems: OwnYarnProblem[]): OwnWeight | undefined {
  if (count === undefined || count.trim() === '') return undefined;
  try {
    const { tex, plies, system, assumed } = labelRead(count.trim(), fibre);
    const read = assumed ? `, read as ${formatCount(tex, plies, system)}, usual for the fibre` : '';
    return {
      tex: { value: tex, low: tex * (1 - LABEL_DOUBT), high: tex * (1 + LABEL_DOUBT) },
      from: `from its label, ${count.trim()}${read}; sold to within about 5 %`,
      ...(plies > 1 ? { plies } : {}),
    };
  } catch (error) {
    const what = error instanceof Error ? error.message.replace(/\.$/, '') : String(error);
    problems.push({
      at: ['count'],
      what: `the count cannot be read: ${what}`,
      remedy:
        'write its system too, as "Ne 8/2" for cotton, "Nm 2/16" or "worsted 2/16" for wool, "R 148 tex /2"; or weigh a length instead',
      stops: false,
    });
    return undefined;
  }
}

function bySheet(measured: OwnYarnMeasured, density: Ranged): OwnWeight | undefined {
  const { shape, kind, stripWidthMm, gaugeMm, squeeze } = measured;
  // A net is mostly holes.
  if (meshOfKind(kind ?? 'spun')) return undefined;
  if (shape !== 'strip' || !(stripWidthMm! > 0) || !(gaugeMm! > 0)) return undefined;
  const width = stripWidthOf(stripWidthMm!);
  const gauge = gaugeOf(gaugeMm!);
  const solid = squeeze === 'none';
  const at = (key: keyof Ranged) => stripTex(width[key], gauge[key], density[key]) * (solid ? 1 : SHEET_PACKING[key]);
  return {
    tex: { value: at('value'), low: at('low'), high: at('high') },
    from: `${estimate} from your width and thickness and ${solid ? 'a solid sheet' : 'how full of fibre cloth usually is'}`,
  };
}
