import { type LengthSystem, mmPerInch } from '#app/words/numbers.ts';
import { meshOfKind, shapeOfKind } from '#engine/yarn/ownYarnKinds.ts';
import type {
  OwnYarnField,
  OwnYarnKind,
  OwnYarnMeasured,
  OwnYarnProblem,
  Stiffness,
  Stretch,
  Wraps,
} from '#engine/yarn/ownYarnTypes.ts';
import type { YarnColours } from '#engine/yarn/yarnColours.ts';
import type { Hairiness, Lustre } from '#engine/yarn/yarnRecord.ts';
import type { Compressibility } from '#engine/yarn/yarnTypes.ts';
import { readNumber } from './readNumber.ts';

/** The form as it is written; empty where nothing was measured. Figures stay as typed. */
export interface OwnYarnForm {
  readonly name: string;
  readonly fibre: string;
  readonly kind: OwnYarnKind;
  readonly plies: string;
  readonly grams: string;
  readonly scale: '1' | '0.1' | '0.01';
  /** Metres or yards, as the reader measures. */
  readonly length: string;
  readonly count: string;
  readonly turns: string;
  readonly turnsPressed: string;
  /** Of ruler, cm or inches. */
  readonly over: string;
  readonly stripWidthMm: string;
  readonly gaugeMm: string;
  readonly holeToHoleMm: string;
  readonly strandMm: string;
  readonly squeeze: Compressibility | '';
  readonly stretch: Stretch | '';
  readonly stiffness: Stiffness | '';
  readonly hairiness: Hairiness | '';
  readonly lustre: Lustre | '';
  readonly coneColour: string;
  /** How the colour was come by, where it was not only chosen. */
  readonly colourFrom: string;
  /** Of a strip: 'own' where its back looks otherwise than its face. */
  readonly otherSide: '' | 'own';
  readonly backColour: string;
  readonly backLustre: Lustre | '';
  /** Where it is not all of one colour. */
  readonly colours: YarnColours | '';
  readonly leftGrams: string;
  readonly leftLength: string;
}

export const emptyForm: OwnYarnForm = {
  name: '',
  fibre: '',
  kind: 'spun',
  plies: '',
  grams: '',
  scale: '1',
  length: '',
  count: '',
  turns: '',
  turnsPressed: '',
  over: '',
  stripWidthMm: '',
  gaugeMm: '',
  holeToHoleMm: '',
  strandMm: '',
  squeeze: '',
  stretch: '',
  stiffness: '',
  hairiness: '',
  lustre: '',
  coneColour: '',
  colourFrom: '',
  otherSide: '',
  backColour: '',
  backLustre: '',
  colours: '',
  leftGrams: '',
  leftLength: '',
};

/** What is written or chosen from a list. */
export type WrittenPart = Exclude<keyof OwnYarnForm, 'colours' | 'coneColour' | 'colourFrom' | 'backColour'>;

/** Wraps are counted over an inch (common practice), or about as much in cm. */
export const usualOver: Readonly<Record<LengthSystem, string>> = { cm: '2.5', inch: '1' };
export const metresPerLength: Readonly<Record<LengthSystem, number>> = { cm: 1, inch: 0.9144 };

/** The other side until it is given a colour: that of undyed paper. */
export const usualBack = '#e8e4da';

const unnamed = 'yarn of my own';

/** The parts that hold figures, with what they are called when one cannot be read. */
const figureNames = {
  plies: 'plies',
  grams: 'weight',
  length: 'length',
  turns: 'turns',
  turnsPressed: 'turns pushed up close',
  over: 'length of ruler',
  stripWidthMm: 'width',
  gaugeMm: 'thickness',
  holeToHoleMm: 'distance from hole to hole',
  strandMm: 'thickness of a strand',
  leftGrams: 'grams left',
  leftLength: 'length left',
} as const;

export type FigurePart = keyof typeof figureNames;

export interface FormTrouble {
  /** Parts of the form it concerns. */
  readonly parts: readonly (keyof OwnYarnForm)[];
  readonly message: string;
  readonly stops: boolean;
}

export interface ReadForm {
  readonly measured: OwnYarnMeasured;
  readonly left: { readonly grams?: number; readonly metres?: number } | undefined;
  /** What cannot be read; it counts as not measured meanwhile. */
  readonly troubles: readonly FormTrouble[];
}

/** What the form says, in the engine's terms. */
export function readForm(form: OwnYarnForm, id: string, system: LengthSystem): ReadForm {
  const troubles: FormTrouble[] = [];
  const figure = (part: FigurePart): number | undefined => {
    const value = readNumber(form[part]);
    if (value === undefined || value > 0) return value;
    troubles.push({
      parts: [part],
      message: `The ${figureNames[part]}: "${form[part].trim()}" is not a figure above 0. Write it like 12.5, or leave it empty.`,
      stops: true,
    });
    return undefined;
  };
  const toMetres = (value: number | undefined) => value && value * metresPerLength[system];
  const over = form.over.trim() === '' ? Number(usualOver[system]) : figure('over');
  const overMm = over && over * (system === 'inch' ? mmPerInch : 10);
  const wraps = (turns: number | undefined): Wraps | undefined => (turns && overMm ? { turns, overMm } : undefined);
  let plies = figure('plies');
  if (plies !== undefined && !(Number.isInteger(plies) && plies <= 64)) {
    troubles.push({ parts: ['plies'], message: 'The plies: a whole number up to 64 is wanted.', stops: true });
    plies = undefined;
  }
  const shape = shapeOfKind(form.kind);
  const strip = shape === 'strip';
  const holes = meshOfKind(form.kind) !== undefined;
  const ownBack = strip && form.otherSide === 'own';
  const leftGrams = figure('leftGrams');
  const leftMetres = toMetres(figure('leftLength'));
  return {
    measured: {
      id,
      name: form.name.trim() || unnamed,
      fibre: form.fibre.trim() || undefined,
      shape,
      kind: form.kind,
      grams: figure('grams'),
      scaleStepG: Number(form.scale),
      metres: toMetres(figure('length')),
      count: form.count.trim() || undefined,
      plies,
      wraps: wraps(figure('turns')),
      wrapsPressed: strip ? undefined : wraps(figure('turnsPressed')),
      stripWidthMm: strip ? figure('stripWidthMm') : undefined,
      gaugeMm: strip && !holes ? figure('gaugeMm') : undefined,
      holeToHoleMm: holes ? figure('holeToHoleMm') : undefined,
      strandMm: holes ? figure('strandMm') : undefined,
      squeeze: form.squeeze || undefined,
      stretch: form.stretch || undefined,
      stiffness: form.stiffness || undefined,
      hairiness: form.hairiness || undefined,
      lustre: form.lustre || undefined,
      coneColour: form.coneColour || undefined,
      colourFrom: form.colourFrom || undefined,
      backColour: ownBack ? form.backColour || usualBack : undefined,
      backLustre: ownBack ? form.backLustre || undefined : undefined,
    },
    left:
      leftGrams === undefined && leftMetres === undefined
        ? undefined
        : {
            ...(leftGrams === undefined ? {} : { grams: leftGrams }),
            ...(leftMetres === undefined ? {} : { metres: Number(leftMetres.toPrecision(4)) }),
          },
    troubles,
  };
}

/** Where a reading stands in the form. */
const partOf: Readonly<Record<OwnYarnField, keyof OwnYarnForm>> = {
  grams: 'grams',
  metres: 'length',
  count: 'count',
  plies: 'plies',
  wraps: 'turns',
  wrapsPressed: 'turnsPressed',
  stripWidthMm: 'stripWidthMm',
  gaugeMm: 'gaugeMm',
  holeToHoleMm: 'holeToHoleMm',
  strandMm: 'strandMm',
  squeeze: 'squeeze',
  fibre: 'fibre',
};

function sentence(text: string): string {
  return `${text[0].toUpperCase()}${text.slice(1)}.`;
}

/** A contradiction as the form tells it. */
export function formTrouble({ at, what, remedy, stops }: OwnYarnProblem): FormTrouble {
  return { parts: at.map((field) => partOf[field]), message: `${sentence(what)} ${sentence(remedy)}`, stops };
}
