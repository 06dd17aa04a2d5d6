import { linearFromHex } from '#engine/colour/colour.ts';
import { pileFibreColour } from '#engine/scatter/pileColour.ts';
import { bundleBody } from '#engine/yarn/bundleBody.ts';
import { hairOfStrands, hairShares } from '#engine/yarn/bundleHair.ts';
import type { YarnHair } from '#engine/yarn/hair.ts';
import { meshBarMm } from '#engine/yarn/mesh.ts';
import { isLooseFibre } from '#engine/yarn/unevenness.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { colourOfEachPly } from '#engine/yarn/yarnColours.ts';
import { faceOptics, looseFibreOptics, yarnOptics } from '#engine/yarn/yarnOptics.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { ColourShare } from '#engine/yarn/yarnSurface.ts';
import { MAX_MESH_LAYERS } from './clothBufferLayout.ts';
import type { YarnMaterial } from './packedCloth.ts';
import type { FaceMaterial, MeshMaterial, StrandColour, StrandColours, StrandMaterial } from './strandMaterial.ts';

/** A strip that is soft enough to fold turns over about once in so many of its own widths as it is laid in (estimate). */
const WIDTHS_PER_TURN = 8;
/** Crumpled net sways once in so many of its thread's widths (estimate). */
const NET_WIDTHS_PER_SWAY = 12;
/** Mean chord of a round section over its diameter. */
const MEAN_CHORD = Math.PI / 4;
const MOST_FOLDS = 6;
/** How far a colour of a length reaches into the next: dye poured on hanks bleeds for some cm (common practice). */
const HANK_BLEED_MM = 20;
/** Of a repeat, what a colour bleeds into the next at most (estimate). */
const MOST_BLEED = 0.05;

/**
 * What the picture needs of a thread in which these yarns lie together.
 * @param hair what stands off it, where that is not as it was spun
 * @throws RangeError where a record's facts cannot be a yarn
 */
export function yarnMaterial(
  records: readonly YarnRecord[],
  hair: YarnHair | undefined = hairOfStrands(records),
): YarnMaterial {
  const mesh = meshOf(records);
  const within = records.filter((record) => !isNet(record));
  const cored = records.find(({ core }) => core);
  return {
    strands: (within.length > 0 ? within : records).map(strandOf),
    ...(hair ? { hair, ...hairFace(records, hair) } : {}),
    ...(mesh ? { mesh } : {}),
    ...(cored?.core
      ? { core: { coneColour: linearFromHex(cored.core.coneColour), optics: faceOptics(cored, cored.core.lustre) } }
      : {}),
  };
}

/**
 * Of yarns wound together, a colour of their hair by the area that each one's covers, and the light of what covers most. Hair of
 * single fibres gleams as those do; locks, wisps and strands as their yarn.
 */
function hairFace(records: readonly YarnRecord[], hair: YarnHair): { readonly hairFace?: FaceMaterial } {
  const shares = hairShares(records);
  const most = shares.indexOf(Math.max(...shares));
  const single = hair.form === 'hair' && !hair.pressed && !isLooseFibre(records[most]);
  if (records.length < 2 && !single) return {};
  const faces = records.map(strandOf);
  const mean = (k: 0 | 1 | 2) => faces.reduce((sum, { coneColour }, n) => sum + shares[n] * coneColour[k], 0);
  const { optics: lying } = faces[most];
  const face = single ? { optics: looseFibreOptics(records[most]), lying } : { optics: lying };
  return { hairFace: { coneColour: [mean(0), mean(1), mean(2)], ...face } };
}

function strandOf(record: YarnRecord): StrandMaterial {
  const cone = linearFromHex(record.coneColour);
  const piled = record.hairiness === 'pile' && !record.core;
  const face: FaceMaterial = { coneColour: piled ? pileFibreColour(cone) : cone, optics: yarnOptics(record) };
  const colours = coloursOf(record);
  const { make, back } = record;
  const width = record.stripWidthMm ?? 0;
  const body = yarnBody(yarnFactsOf(record)).bodyWidthMm;
  const folded = record.shape === 'strip' && body < 0.9 * width && record.compressibility !== 'none' && !record.mesh;
  return {
    ...face,
    ...(colours ? { colours } : {}),
    ...(make ? { make } : {}),
    ...(record.shape === 'strip' && record.gaugeMm ? { thickMm: record.gaugeMm } : {}),
    ...(back ? { back: { coneColour: linearFromHex(back.coneColour), optics: faceOptics(record, back.lustre) } } : {}),
    ...(folded
      ? { turnsOverPerMm: 1 / (WIDTHS_PER_TURN * width), folds: Math.min(MOST_FOLDS, Math.round(width / body)) }
      : {}),
  };
}

function coloursOf(record: YarnRecord): StrandColours | undefined {
  const { plyColours, blend, print, colourRepeat } = record;
  if (plyColours) {
    const each = colourOfEachPly(plyColours, record.plies);
    const stops = each.map((hex, k) => ({ from: k / each.length, coneColour: linearFromHex(hex) }));
    return { of: 'plies', stops };
  }
  if (blend) return { of: 'fibres', stops: stopsOf(blend) };
  if (print) return { of: 'print', stops: stopsOf(print.colours), motifMm: print.motifMm };
  if (!colourRepeat) return undefined;
  const { lengthMm, startMm, stops, bleedMm = HANK_BLEED_MM } = colourRepeat;
  const first = stops[0].atMm;
  return {
    of: 'length',
    lengthMm,
    // Counted from the first stop, so that colours begin at 0.
    startMm: startMm - first,
    bleedMm: Math.min(bleedMm, MOST_BLEED * lengthMm),
    stops: stops.map(({ atMm, colour }) => ({ from: (atMm - first) / lengthMm, coneColour: linearFromHex(colour) })),
  };
}

function stopsOf(shares: readonly ColourShare[]): StrandColour[] {
  let from = 0;
  return shares.map(({ colour, share }) => {
    const stop = { from, coneColour: linearFromHex(colour) };
    from += share;
    return stop;
  });
}

function isNet({ mesh, stripWidthMm }: YarnRecord): boolean {
  return mesh !== undefined && stripWidthMm !== undefined;
}

/**
 * The open strip among yarns that lie together, the widest of several standing for all. A net springs open and lies about what it
 * is wound with, which keeps its own area in the middle of the section; the strip fills the rest, in chords of it that are
 * together as long as the strip is wide.
 */
function meshOf(records: readonly YarnRecord[]): MeshMaterial | undefined {
  const nets = records.filter(isNet);
  if (nets.length === 0) return undefined;
  const width = ({ stripWidthMm = 0 }: YarnRecord) => stripWidthMm;
  const net = nets.reduce((widest, each) => (width(each) > width(widest) ? each : widest));
  const { mesh, glitter, paint } = net;
  if (!mesh) return undefined;
  const bodies = records.map((each) => yarnBody(yarnFactsOf(each)));
  const area = (open: boolean) =>
    bodies.reduce((sum, body, k) => sum + (isNet(records[k]) === open ? body.bodyWidthMm * body.bodyHeightMm : 0), 0);
  const netShare = area(true) / (area(true) + area(false));
  const body = bundleBody(
    bodies,
    records.map(({ id }) => id),
  ).bodyWidthMm;
  const laid = nets.reduce((sum, each) => sum + width(each), 0) / (body * MEAN_CHORD * netShare);
  const layers = Math.max(1, Math.min(MAX_MESH_LAYERS, Math.round(laid)));
  return {
    shape: mesh.shape,
    pitchMm: mesh.pitchMm,
    barMm: meshBarMm(net),
    layers,
    turnsPerMm: layers > 1 ? 1 / (NET_WIDTHS_PER_SWAY * body) : 0,
    ...(netShare < 1 ? { bars: strandOf(net), coreShare: Math.sqrt(1 - netShare) } : {}),
    ...(glitter
      ? {
          glitter: {
            coneColour: linearFromHex(glitter.coneColour),
            optics: faceOptics(net, 'film'),
            perMm2: glitter.perCm2 / 100,
            diameterMm: glitter.diameterMm,
          },
        }
      : {}),
    ...(paint
      ? {
          paint: {
            coneColour: linearFromHex(paint.colour),
            optics: faceOptics(net, 'matte'),
            share: paint.share,
            patchMm: paint.patchMm,
          },
        }
      : {}),
  };
}
