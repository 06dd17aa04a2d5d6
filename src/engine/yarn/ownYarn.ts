import { fibreAreaMm2, roundDiameterMm } from './diameter.ts';
import { unknownFibre } from './fibreLabel.ts';
import { fibreFactsOf, fibreNameOf } from './fibres.ts';
import { asItLooks, braidOf, meshOfKind } from './ownYarnKinds.ts';
import { ownCautions, ownLooks } from './ownYarnLooks.ts';
import { ownMesh } from './ownYarnMesh.ts';
import { type OwnBending, ownStripBending, ownYarnBending } from './ownYarnStiffness.ts';
import {
  estimate,
  figures,
  measuredByYou,
  type OwnYarn,
  type OwnYarnMeasured,
  type OwnYarnProblem,
  type Ranged,
} from './ownYarnTypes.ts';
import { gaugeOf, type OwnWeight, ownWeight, SHEET_PACKING, stripWidthOf } from './ownYarnWeight.ts';
import { CONTACT_PACKING, ownWidths, widthOfWraps, wrapsInWords } from './ownYarnWidths.ts';
import type { YarnRecord } from './yarnRecord.ts';

/** Moisture and mixture move a known fibre's density by about this share. */
const DENSITY_DOUBT = 0.03;
/** Nylon to cotton, where the fibre is not known. */
const UNKNOWN_DENSITY: Ranged = { value: 1.4, low: 1.14, high: 1.54 };

function densityOf(fibre: string | undefined): Ranged {
  if (fibreNameOf(fibre ?? '') === undefined) return UNKNOWN_DENSITY;
  const { densityGPerCm3: value } = fibreFactsOf(fibre!);
  return { value, low: value * (1 - DENSITY_DOUBT), high: value * (1 + DENSITY_DOUBT) };
}

type Part = Partial<YarnRecord> & Pick<YarnRecord, 'packingFraction' | 'bendingNmm2' | 'compressibility'>;

interface Made {
  readonly part: Part;
  readonly from: Readonly<Record<string, string>>;
}

/**
 * A yarn from what anybody can read off it at a table: weight of a length, wraps on a ruler, how it gives, hangs and
 * looks. Each reading's error is carried into `ranges`; what was not measured is estimated by the rules that the shelf's
 * cards were made by, and `provenance` says which is which. Readings that exclude each other are told, the doubtful one set
 * aside; nothing throws. Tex is as good as scale and tape; contact widths ±15 % where no pushed-up count was made;
 * bending within its range, a factor of 6.
 */
export function ownYarn(told: OwnYarnMeasured): OwnYarn {
  const { measured, make, hairLengthMm, from: usualFrom } = asItLooks(told);
  const problems: OwnYarnProblem[] = [];
  const density = densityOf(measured.fibre);
  if (measured.shape === 'strip' && !(measured.stripWidthMm! > 0)) {
    problems.push({
      at: ['stripWidthMm'],
      what: 'a strip needs its width',
      remedy: 'measure it laid flat',
      stops: true,
    });
  }
  const unknown = unknownFibre(measured.fibre);
  if (unknown) problems.push(unknown);
  const weight = ownWeight(measured, density, problems);
  if (!weight || problems.some(({ stops }) => stops)) return { record: undefined, problems };

  const { part, from } =
    measured.shape === 'strip'
      ? madeStrip(measured, weight.tex, density, problems)
      : madeRound(measured, weight.tex, density, problems);
  // A net without its holes.
  if (problems.some(({ stops }) => stops)) return { record: undefined, problems };
  const solid = part.compressibility === 'none';
  const { looks, from: looksFrom } = ownLooks(measured, solid);
  const cautions = ownCautions(measured, solid);
  const known = fibreNameOf(measured.fibre ?? '') !== undefined;
  const { ranges, ...rest } = part;
  const record: YarnRecord = {
    format: 'forecloth-yarn',
    version: 3,
    id: measured.id,
    name: measured.name,
    fibre: measured.fibre?.trim() || 'not known',
    ...(measured.count?.trim() && !problems.some(({ at }) => at[0] === 'count')
      ? { count: measured.count.trim() }
      : {}),
    tex: figures(weight.tex.value),
    plies: pliesOf(measured, weight, problems),
    shape: measured.shape,
    fibreDensityGPerCm3: figures(density.value),
    ...rest,
    ...looks,
    ...(make ? { make } : {}),
    ...(hairLengthMm ? { hairLengthMm } : {}),
    ranges: { tex: rangeOf(weight.tex), ...ranges },
    ...(cautions ? { cautions } : {}),
    provenance: {
      tex: weight.from,
      plies: measured.plies ? 'counted by you' : weight.plies ? 'from its label' : `${estimate}: one`,
      fibreDensityGPerCm3: known
        ? `${estimate}: handbook figure for the fibre you named`
        : `${estimate}: fibre not known`,
      ...from,
      ...looksFrom,
      ...usualFrom,
      // What was read and not used is not lost.
      ...(problems.length > 0 ? { setAside: problems.map(({ what }) => what).join('; ') } : {}),
    },
  };
  return { record, problems };
}

function pliesOf({ plies }: OwnYarnMeasured, weight: OwnWeight, problems: OwnYarnProblem[]): number {
  if (plies === undefined) return weight.plies ?? 1;
  if (weight.plies !== undefined && weight.plies !== plies) {
    problems.push({
      at: ['plies', 'count'],
      what: `you counted ${plies} plies and the label says ${weight.plies}`,
      remedy: 'untwist an end and count again; your count is used meanwhile',
      stops: false,
    });
  }
  return plies;
}

function rangeOf({ low, high }: Ranged): readonly [number, number] {
  return [figures(low), figures(high)];
}

function bendingOf({ range }: OwnBending): readonly [number, number] {
  return [figures(Math.max(1e-7, range[0]), 2), figures(Math.max(2e-7, range[1]), 2)];
}

function madeRound(measured: OwnYarnMeasured, tex: Ranged, density: Ranged, problems: OwnYarnProblem[]): Made {
  const widths = ownWidths(measured, tex, density, problems);
  const solid = widths.compressibility === 'none';
  const bending = ownYarnBending(measured.fibre ?? '', tex, density, widths.contactMm, solid, measured.stiffness);
  const cord = measured.kind === 'cord' ? braidOf((widths.freeMm ?? widths.contactMm).value) : undefined;
  return {
    part: {
      packingFraction: figures(widths.packing.value),
      contactWidthMm: figures(widths.contactMm.value),
      ...(widths.freeMm ? { freeWidthMm: figures(widths.freeMm.value) } : {}),
      bendingNmm2: bendingOf(bending),
      compressibility: widths.compressibility,
      ...(cord ? { make: cord } : {}),
      ranges: {
        packingFraction: rangeOf(widths.packing),
        contactWidthMm: rangeOf(widths.contactMm),
        ...(widths.freeMm ? { freeWidthMm: rangeOf(widths.freeMm) } : {}),
      },
    },
    from: {
      packingFraction: widths.from.packing,
      contactWidthMm: widths.from.contact,
      ...(widths.from.free ? { freeWidthMm: widths.from.free } : {}),
      bendingNmm2: bending.from,
      compressibility: widths.from.compressibility,
      ...(cord ? { make: `${estimate}: eight strands half way round` } : {}),
    },
  };
}

/** A solid sheet lies flat and full; cut cloth crumples to the roll of its packing unless its ruler count says how wide. */
function madeStrip(measured: OwnYarnMeasured, tex: Ranged, density: Ranged, problems: OwnYarnProblem[]): Made {
  const compressibility = measured.squeeze ?? 'high';
  const solid = compressibility === 'none';
  const width = stripWidthOf(measured.stripWidthMm!);
  const holes = meshOfKind(measured.kind ?? 'spun');
  const net = holes && ownMesh(measured, holes, tex, width, density, problems);
  const gauge = net
    ? { value: net.strandMm, from: net.from.strand }
    : ownGauge(measured, tex, width, density, solid, problems);
  const bending = ownStripBending(measured.fibre ?? '', width, gauge.value, solid, measured.stiffness);
  const packing: Ranged = solid ? { value: 1, low: 0.9, high: 1 } : CONTACT_PACKING[compressibility];
  const free = solid ? undefined : freeOfStrip(measured, width, problems);
  const roll = (key: keyof Ranged, full: keyof Ranged) =>
    Math.min(width[key], roundDiameterMm(tex[key], packing[full], density[full]));
  const crumpled: Ranged = {
    value: Math.min(roll('value', 'value'), free?.value ?? width.value),
    low: Math.min(roll('low', 'high'), free?.low ?? width.low),
    high: Math.min(roll('high', 'low'), free?.high ?? width.high),
  };
  const contact = solid
    ? {}
    : { contactWidthMm: figures(crumpled.value), ...(free ? { freeWidthMm: figures(free.value) } : {}) };
  return {
    part: {
      stripWidthMm: figures(width.value),
      gaugeMm: figures(gauge.value.value),
      packingFraction: packing.value,
      ...contact,
      bendingNmm2: bendingOf(bending),
      compressibility,
      ...(net ? { mesh: net.mesh } : {}),
      ranges: {
        stripWidthMm: rangeOf(width),
        gaugeMm: rangeOf(gauge.value),
        packingFraction: rangeOf(packing),
        ...(solid ? {} : { contactWidthMm: rangeOf(crumpled), ...(free ? { freeWidthMm: rangeOf(free) } : {}) }),
      },
    },
    from: {
      stripWidthMm: measuredByYou,
      gaugeMm: gauge.from,
      packingFraction: `${estimate} for ${solid ? 'a solid sheet' : 'a crumpled strip'}`,
      ...(solid ? {} : { contactWidthMm: `${estimate}: crumpled at its packing` }),
      ...(free ? { freeWidthMm: `${measuredByYou}: ${wrapsInWords(measured.wraps!)}` } : {}),
      bendingNmm2: bending.from,
      compressibility: measured.squeeze ? measuredByYou : `${estimate}: cut cloth`,
      ...(net ? { mesh: net.from.mesh } : {}),
    },
  };
}

function freeOfStrip(
  { wraps, stripWidthMm }: OwnYarnMeasured,
  width: Ranged,
  problems: OwnYarnProblem[],
): Ranged | undefined {
  if (!wraps || !(wraps.turns > 0) || !(wraps.overMm > 0)) return undefined;
  const turn = widthOfWraps(wraps);
  if (turn.low <= width.high)
    return { ...turn, value: Math.min(turn.value, width.value), high: Math.min(turn.high, width.high) };
  problems.push({
    at: ['wraps', 'stripWidthMm'],
    what: `a turn takes ${figures(turn.value, 2)} mm of the ruler, but the strip is only ${figures(stripWidthMm!, 2)} mm wide`,
    remedy: 'count again with the turns touching, or measure the width again; the count is set aside meanwhile',
    stops: false,
  });
  return undefined;
}

function ownGauge(
  { gaugeMm, fibre }: OwnYarnMeasured,
  tex: Ranged,
  width: Ranged,
  density: Ranged,
  solid: boolean,
  problems: OwnYarnProblem[],
): { value: Ranged; from: string } {
  const full: Ranged = solid ? { value: 1, low: 0.9, high: 1 } : SHEET_PACKING;
  const thick = (t: keyof Ranged, other: keyof Ranged) =>
    fibreAreaMm2(tex[t], density[other]) / (width[other] * full[other]);
  const byWeight: Ranged = { value: thick('value', 'value'), low: thick('low', 'high'), high: thick('high', 'low') };
  if (!(gaugeMm! > 0)) return { value: byWeight, from: `${estimate} from weight and width` };
  const gauge = gaugeOf(gaugeMm!);
  const solidMm = fibreAreaMm2(tex.low, density.high) / width.high;
  if (gauge.high < solidMm) {
    problems.push({
      at: ['gaugeMm', 'grams', 'stripWidthMm'],
      what: `${figures(gaugeMm!, 2)} mm is too thin: even solid, ${fibre ?? 'a sheet'} of that weight and width is ${figures(solidMm, 2)} mm thick`,
      remedy: 'measure the thickness of ten layers, or weigh again; the thickness is set aside meanwhile',
      stops: false,
    });
    return { value: byWeight, from: `${estimate} from weight and width` };
  }
  if (gauge.low > width.high) {
    problems.push({
      at: ['gaugeMm', 'stripWidthMm'],
      what: 'the strip is thicker than it is wide',
      remedy: 'see whether width and thickness are exchanged; the thickness is set aside meanwhile',
      stops: false,
    });
    return { value: byWeight, from: `${estimate} from weight and width` };
  }
  return { value: gauge, from: measuredByYou };
}
