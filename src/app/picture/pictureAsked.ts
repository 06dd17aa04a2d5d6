import { type Pose, sideOf } from '#app/model/pose.ts';
import type { TableState } from '#app/model/tableState.ts';
import { MM_PER_INCH, planSheet, type SheetPlan } from '#app/still/sheetPlan.ts';
import { plainName } from '#io/sampleFile.ts';

/** What is asked of a picture saved from the table. */
export interface PictureAsked {
  readonly sides: 'face' | 'back' | 'both';
  /** Square on, or turned and tipped as it is now. */
  readonly held: 'square' | 'asNow';
  /** All of the cloth, or what the table's panel shows of it. */
  readonly part: 'whole' | 'inView';
  /** Pixels an inch at true size. */
  readonly dotsPerInch: number;
  /** In mm of cloth; true only square on. */
  readonly ruler: boolean;
  /** Samples a pixel. */
  readonly samples: number;
}

export const LEAST_DPI = 72;
export const MOST_DPI = 600;

/** Screens of most tables settle at the last; paper forgives the first. */
export const SAMPLE_STEPS = [4, 16, 64] as const;

export const usualPicture: PictureAsked = {
  sides: 'face',
  held: 'square',
  part: 'whole',
  dotsPerInch: 150,
  ruler: true,
  samples: 16,
};

/** The sheet asked for of a cloth, or undefined before there is one. */
export function planPicture(
  { sides, held, part, dotsPerInch, ruler }: PictureAsked,
  { pose, size }: Pick<TableState, 'pose' | 'size'>,
  extent: TableState['extent'],
): SheetPlan | undefined {
  if (!extent) return undefined;
  const mmPerPx = MM_PER_INCH / dotsPerInch;
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

/** Such as `channel-buoy-looser-face-and-back-300dpi.png`. */
export function pictureFileName(sample: string, version: string | undefined, asked: PictureAsked): string {
  const side = asked.sides === 'both' ? 'face-and-back' : asked.sides;
  const parts = [plainName(sample) || 'sample', version && plainName(version), side, `${asked.dotsPerInch}dpi`];
  return `${parts.filter(Boolean).join('-')}.png`;
}
