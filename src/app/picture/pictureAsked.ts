import { type Pose, presetPose, sideOf, turnedOver } from '#app/model/pose.ts';
import type { TableState } from '#app/model/tableState.ts';
import { type BentStill, bentPose } from '#app/still/bentStill.ts';
import { MM_PER_INCH, planSheet, type SheetPlan } from '#app/still/sheetPlan.ts';
import { plainName } from '#io/sampleFile.ts';

/** What is asked of a picture saved from the table. */
export interface PictureAsked {
  readonly sides: 'face' | 'back' | 'both';
  /**
   * Square on; turned and tipped as it is now; face out over an edge, its first picks hanging, seen from low in front; or let
   * go on a table, as it curls.
   */
  readonly held: 'square' | 'asNow' | 'draped' | 'curled';
  /** Radius of that edge, mm. */
  readonly edgeMm: number;
  /** Light as on the table, or traced path by path, many bounces; a bent cloth is always traced. */
  readonly light: 'table' | 'traced';
  /** All of the cloth, or what the table's panel shows of it. */
  readonly part: 'whole' | 'inView';
  /** Pixels an inch at true size. */
  readonly dotsPerInch: number;
  /** In mm of cloth; true only square on. */
  readonly ruler: boolean;
  /** Samples a pixel as on the table; traced ones take more, see `samplesOf`. */
  readonly samples: number;
}

export const LEAST_DPI = 72;
export const MOST_DPI = 600;

/** As the command line takes them. */
export const LEAST_EDGE_MM = 1;
export const MOST_EDGE_MM = 500;

/** A path is one guess at all the light of a point, where the table's samples are estimates: it takes more of them. */
const PATHS_PER_SAMPLE = 4;
/** Height of a bent cloth's picture over its width: hanging from an edge or lying, seen low, it is broader than high. */
const BENT_SHAPE = 7 / 9;

/** Screens of most tables settle at the last; paper forgives the first. */
export const SAMPLE_STEPS = [4, 16, 64] as const;

export const usualPicture: PictureAsked = {
  sides: 'face',
  held: 'square',
  edgeMm: 40,
  light: 'table',
  part: 'whole',
  dotsPerInch: 150,
  ruler: true,
  samples: 16,
};

/** Whether the cloth is bent for its picture. */
export function isBent({ held }: PictureAsked): boolean {
  return held === 'draped' || held === 'curled';
}

/** Whether paths are traced. */
export function isTraced(asked: PictureAsked): boolean {
  return isBent(asked) || asked.light === 'traced';
}

/** Samples or paths a pixel. */
export function samplesOf(asked: PictureAsked): number {
  return asked.samples * (isTraced(asked) ? PATHS_PER_SAMPLE : 1);
}

/**
 * The sheet asked for of a cloth, or undefined before there is one.
 * @param bent how, of a cloth that is to be bent
 */
export function planPicture(
  asked: PictureAsked,
  { pose, size }: Pick<TableState, 'pose' | 'size'>,
  extent: TableState['extent'],
  bent?: BentStill,
): SheetPlan | undefined {
  if (!extent) return undefined;
  const { sides, held, part, dotsPerInch, ruler } = asked;
  const mmPerPx = MM_PER_INCH / dotsPerInch;
  if (isBent(asked)) {
    if (!bent) return undefined;
    const widthPx = Math.ceil((extent.maxXMm - extent.minXMm) / mmPerPx);
    const picture = { widthPx, heightPx: Math.ceil(BENT_SHAPE * widthPx) };
    const from = presetPose({ ...pose, yawRad: 0 }, bent.view);
    const seen = bentPose(bent.side === 'back' ? turnedOver(from) : from, bent.drape, extent, picture);
    return { ...planSheet({ extent, sides: [bent.side], pose: seen, size: picture, ruler: false }), mmPerPx };
  }
  const toPx = (px: number) => Math.max(1, Math.round((px * pose.mmPerPx) / mmPerPx));
  const turn = held === 'asNow' ? pose : { ...pose, yawRad: sideOf(pose) === 'face' ? 0 : Math.PI, pitchRad: 0 };
  return planSheet({
    extent,
    sides: sides === 'both' ? ['face', 'back'] : [sides],
    pose: { ...turn, mmPerPx } satisfies Pose,
    size: part === 'whole' ? 'whole' : { widthPx: toPx(size.widthPx), heightPx: toPx(size.heightPx) },
    ruler: ruler && held === 'square',
  });
}

/** Such as `channel-buoy-looser-face-and-back-300dpi.png` or `channel-buoy-over-40mm-150dpi.png`. */
export function pictureFileName(sample: string, version: string | undefined, asked: PictureAsked): string {
  const side = asked.sides === 'both' ? 'face-and-back' : asked.sides;
  const bent = { draped: `over-${asked.edgeMm}mm`, curled: 'as-it-curls' };
  const { held } = asked;
  const shown = held === 'draped' || held === 'curled' ? bent[held] : isTraced(asked) ? `${side}-traced` : side;
  const parts = [plainName(sample) || 'sample', version && plainName(version), shown, `${asked.dotsPerInch}dpi`];
  return `${parts.filter(Boolean).join('-')}.png`;
}
