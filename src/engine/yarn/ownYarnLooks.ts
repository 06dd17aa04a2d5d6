import { fibreNameOf } from './fibres.ts';
import { estimate, type OwnYarnMeasured } from './ownYarnTypes.ts';
import { chosenByYou } from './yarnColours.ts';
import type { Hairiness, Lustre, YarnRecord } from './yarnRecord.ts';

/** Fuzz of the shelf's yarns of each word, mm: the least and the most met among most of them (common practice). */
const HAIR_MM: Readonly<Record<Hairiness, readonly [number, number] | undefined>> = {
  none: undefined,
  low: [0.3, 1.5],
  medium: [0.5, 5],
  high: [2, 12],
  halo: [5, 20],
  pile: [1, 3],
  loops: [2, 6],
  'frayed edge': [0.5, 2],
};

/** How shiny a yarn of the fibre usually is (from memory). */
const LUSTRE: Readonly<Record<string, Lustre>> = {
  linen: 'satin',
  mohair: 'satin',
  silk: 'satin',
  viscose: 'satin',
  lyocell: 'satin',
  acetate: 'bright',
  nylon: 'satin',
  polyester: 'satin',
  copper: 'metal',
  steel: 'metal',
};

/** Undyed, neither dark nor light: stands until a colour is picked. */
const NO_COLOUR = '#a8a296';

type Looks = Pick<YarnRecord, 'lustre' | 'coneColour' | 'hairiness' | 'hairLengthMm' | 'back'>;

/** How the yarn looks, and where each of it comes from. */
export function ownLooks(measured: OwnYarnMeasured, solid: boolean): { looks: Looks; from: Record<string, string> } {
  const { shape, hairiness, coneColour, colourFrom, backColour, backLustre } = measured;
  const fibre = fibreNameOf(measured.fibre ?? '') ?? '';
  const from: Record<string, string> = {
    coneColour: coneColour ? (colourFrom ?? chosenByYou) : `${estimate}: no colour was given`,
    lustre: measured.lustre ? 'seen by you' : `${estimate} for the fibre`,
    hairiness: hairiness ? 'seen by you' : `${estimate}`,
  };
  const usual: Hairiness = solid ? 'none' : shape === 'strip' ? 'frayed edge' : 'medium';
  const fuzz = hairiness ?? usual;
  const hairLengthMm = HAIR_MM[fuzz];
  if (hairLengthMm) from.hairLengthMm = `${estimate}: ${fuzz === 'none' ? '' : 'usual for '}${fuzz}`;
  const film = solid && shape === 'strip' && LUSTRE[fibre] !== 'metal';
  const lustre = measured.lustre ?? (film && fibre !== 'paper' ? 'film' : (LUSTRE[fibre] ?? 'matte'));
  const cone = coneColour ?? NO_COLOUR;
  const ownBack = shape === 'strip' && (backColour !== undefined || backLustre !== undefined);
  if (ownBack) from.back = `${chosenByYou}${backLustre ? '; lustre seen by you' : ''}`;
  return {
    looks: {
      lustre,
      coneColour: cone,
      ...(ownBack ? { back: { coneColour: backColour ?? cone, lustre: backLustre ?? lustre } } : {}),
      hairiness: fuzz,
      ...(hairLengthMm ? { hairLengthMm } : {}),
    },
    from,
  };
}

/** Care by fibre, as on the shelf's cards (common practice; melting and softening points from handbooks). */
const FIBRE_CARE: Readonly<Record<string, string>> = {
  wool: 'felts with heat and agitation',
  mohair: 'sticky: clear the shed by hand; sheds',
  linen: 'no stretch: even tension or ends break; weave damp',
  viscose: 'weak when wet',
  acetate: 'melts, glazes above 175 °C; acetone dissolves it',
  nylon: 'melts near 215–250 °C: cool iron, one dot',
  polyester: 'melts near 250 °C: cool iron',
  acrylic: 'steam flattens it for ever; melts or degrades above 150 °C',
  polyethylene: 'melts about 105–115 °C: never iron',
  polypropylene: 'melts about 160 °C: never iron',
  pvc: 'softens warm: never iron',
  elastane: 'heat above 150 °C and chlorine kill the stretch',
  paper: 'weave damp; tears when soaked',
  jute: 'sheds dust; browns in light and water',
  copper: 'sharp cut ends: turn back and bury; springs off the loom if tension drops; tarnishes',
  steel: 'sharp cut ends: turn back and bury; springs off the loom if tension drops',
  glass: 'broken fibres prick and irritate: gloves and a mask',
};

/** A line of care for a yarn of one's own. */
export function ownCautions(
  { fibre, shape, stretch, stiffness, hairiness }: OwnYarnMeasured,
  solid: boolean,
): string | undefined {
  const name = fibreNameOf(fibre ?? '');
  const lines = [
    name === undefined ? 'fibre not known: try heat and water on a scrap first' : FIBRE_CARE[name],
    stretch === 'much'
      ? 'stretches: wind it and measure it at weaving tension; the cloth draws in as tension goes'
      : undefined,
    stiffness === 'wire' && name !== 'copper' && name !== 'steel'
      ? 'wire in it: sharp cut ends, fold back and bury'
      : undefined,
    solid && shape === 'strip' ? 'edges may cut a soft warp, and fingers' : undefined,
    hairiness === 'halo' || hairiness === 'pile' ? 'sheds: mask where it makes dust' : undefined,
    shape === 'strip' && !solid && hairiness !== 'none' ? 'cut edges fray' : undefined,
  ].filter((line) => line !== undefined);
  return lines.length > 0 ? lines.join('; ') : undefined;
}
