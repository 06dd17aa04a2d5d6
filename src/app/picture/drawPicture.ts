import { withOffscreenView } from '#app/still/offscreenView.ts';
import { drawSheet } from '#app/still/sheet.ts';
import type { SheetPlan } from '#app/still/sheetPlan.ts';
import { stillBackground } from '#app/still/stillBackground.ts';
import type { LengthSystem } from '#app/words/numbers.ts';
import { hexFromLinear } from '#engine/colour/colour.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { Drape } from '#engine/packing/walk/drape.ts';
import type { ClothLight } from '#render/clothViewTypes.ts';

/** A cloth as it lay on the table when the picture was asked for. */
export interface PictureJob {
  readonly packed: PackedCloth;
  readonly far?: FarCloth;
  readonly light: ClothLight;
  readonly lightnessOnly: boolean;
  readonly plan: SheetPlan;
  readonly samples: number;
  /** Path by path, many bounces, in place of the table's estimate. */
  readonly traced: boolean;
  /** Over an edge; of a traced picture only, which then is of no one scale. */
  readonly drape?: Drape;
  /** What its ruler is marked in. */
  readonly system: LengthSystem;
}

/**
 * The PNG of a cloth, at true scale unless it is draped, drawn apart from the table in slices, so that the table goes on.
 * @param onProgress share done, 0..1
 * @param onShown a traced one as far as it has come, coarse at first
 * @throws the signal's reason when stopped; an error that says what to do otherwise
 */
export function drawPicture(
  { packed, far, light, lightnessOnly, plan, samples, traced, drape, system }: PictureJob,
  onProgress: (share: number) => void,
  onShown: (sheet: OffscreenCanvas) => void,
  signal: AbortSignal,
): Promise<Uint8Array<ArrayBuffer>> {
  return withOffscreenView({ background: stillBackground, light, lightnessOnly }, (view) => {
    view.setCloth(packed);
    // Paths are traced thread by thread, however fine they are.
    if (far && !traced) view.setFar(packed, far);
    return drawSheet(view, plan, {
      samples,
      reference: traced,
      drape,
      signal,
      onShown,
      onProgress: (done, wanted) => onProgress(done / wanted),
      trueScale: drape === undefined,
      rulerIn: system,
      ground: hexFromLinear(stillBackground),
    });
  });
}
