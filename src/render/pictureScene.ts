import type { ClothTextures } from './clothTextures.ts';
import type { ClothLight, ClothPose, ClothViewOptions } from './clothViewTypes.ts';

/** Everything a picture depends on. */
export interface PictureScene {
  pose: ClothPose;
  light: ClothLight;
  background: NonNullable<ClothViewOptions['background']>;
  backLit: boolean;
  /** A cloth of this picture's own, from `load`; the drawer's otherwise. */
  textures?: ClothTextures;
  /** Of many samples: threads are walked until one is hardly wider than a pixel, and kinds of crossings looked at longer. */
  fine?: boolean;
  /** Every pixel walked, however fine the threads: for reading threads back and for checks. */
  walkAll?: boolean;
  /** What the programs that draw it are to know, beyond what its cloth asks of them. */
  features?: number;
  /** Rays to the light walked too, never through columns: for small pictures and for checks. */
  walkLight?: boolean;
}
