import type { LinearRgb } from '#engine/colour/colour.ts';
import type { FarCloth } from '#engine/packing/far/farTypes.ts';
import type { PackedCloth } from '#engine/packing/packedCloth.ts';
import type { Drape } from '#engine/packing/walk/drape.ts';

/**
 * How the cloth hangs before the eye. The eye and the light stay; the cloth turns: first over (half a turn about its own
 * vertical), then by yaw about the vertical, then by pitch about the horizontal of the room. All zero: face, square-on. Positive yaw carries the right
 * edge away from the eye, positive pitch the upper edge.
 */
export interface ClothPose {
  /** Point of the cloth (mm) in the middle of the picture. */
  readonly centreMm: readonly [number, number];
  /** Scale at that point, device pixels per mm. */
  readonly pixelsPerMm: number;
  readonly yawRad: number;
  readonly pitchRad: number;
  /** Turn in the plane of the picture, anticlockwise. */
  readonly rollRad: number;
  readonly turnedOver: boolean;
  /** Full vertical angle of view; 0 draws without perspective. */
  readonly fieldOfViewRad: number;
}

export interface ClothLight {
  /** From the cloth to the window, in the room (x right, y up, z to the eye); need not be of unit length. */
  readonly towards: readonly [number, number, number];
  /** Half the angle that the window subtends. */
  readonly halfAngleRad: number;
  /** Share of a facing card's light that comes from the whole room rather than the window, 0..1. */
  readonly skyShare: number;
  /** The window is what is seen past the cloth, in place of the bench. */
  readonly behindCloth?: boolean;
}

export interface ClothViewOptions {
  /** Linear-light grey behind the cloth; 0.2 by default. */
  readonly background?: LinearRgb;
  readonly light?: Partial<ClothLight>;
  /** Cloth black, background white: what is white is open. For measuring cover. */
  readonly backLit?: boolean;
  /** 'low': nothing beyond what every WebGL2 device has. */
  readonly limits?: 'full' | 'low';
  /** The picture on the canvas is spread as by an eye with the cloth at this distance, mm; null as near as drawn. */
  readonly heldAtMm?: number | null;
  /** Greys of the same CIE lightness L* in place of colours. */
  readonly lightnessOnly?: boolean;
  /** Samples a pixel takes before the picture is settled; left out, 64, and 256 where the GPU takes those in good time. */
  readonly samples?: number;
  /** The depth buffer counts cells and candidates instead. For measuring. */
  readonly countWork?: boolean;
  readonly onLost?: () => void;
  /** The picture must be drawn again (also after a capture): call `step` until settled. */
  readonly onRestored?: () => void;
  readonly onShaderError?: (log: string) => void;
}

export interface ClothPick {
  readonly kind: 'warp' | 'weft';
  /** End or row index. */
  readonly index: number;
  /** Nearest crossing. */
  readonly row: number;
  readonly end: number;
  /** Where the surface was met, mm. */
  readonly pointMm: readonly [number, number, number];
}

export interface CaptureOptions {
  /** Traced path by path, many bounces, instead of estimated between threads: slow, and what the picture is held to. */
  readonly reference?: boolean;
  /** Bent instead of flat; of a reference only. */
  readonly drape?: Drape;
  /** Called after each sample of a block with those done and wanted in all. */
  readonly onProgress?: (done: number, wanted: number) => void;
  /** Called now and then with a reference as far as it has come, coarse at first; the same object each time. */
  readonly onShown?: (soFar: CaptureResult) => void;
  /** Stops the drawing. */
  readonly signal?: AbortSignal;
}

export interface CaptureResult {
  readonly width: number;
  readonly height: number;
  /** RGBA, sRGB, 8 bits, top row first. */
  readonly pixels: Uint8ClampedArray<ArrayBuffer>;
}

/** Ids as the picture buffer holds them, bottom row first: kind * 2^22 + index. */
export interface PictureBuffers {
  readonly width: number;
  readonly height: number;
  readonly kind: Uint8Array;
  readonly index: Uint32Array;
  /** The thread itself, also for its ends and turns: row * 2, or end * 2 + 1; -1 on background. */
  readonly owner: Int32Array;
  /** Distance along the ray from its origin (see eye.ts), mm; NaN on background. */
  readonly depthMm: Float32Array;
  readonly normal: Float32Array;
}

export type StepResult = 'more' | 'settled';

/** A rectangle of the canvas, device pixels from its top left. */
export interface PaneRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** One of several pictures on the canvas, under one pose, light and distance. */
export interface ClothPaneSetup {
  /** Where the picture lies: the pose's middle is its middle. */
  readonly frame: PaneRect;
  /** The part of it that is shown; all of it by default. Changing this alone draws nothing anew. */
  readonly clip?: PaneRect;
  /** A cloth of its own; the view's cloth by default; null for none as yet. */
  readonly cloth?: PackedCloth | null;
  /** Half a turn more about the cloth's vertical than the view's pose: the other side. */
  readonly otherSide?: boolean;
  /** A lens: this point of the cloth (mm) in the middle, that many times nearer, and sharp at any distance. */
  readonly lens?: { readonly centreMm: readonly [number, number]; readonly closer: number };
}

/** What ClothView offers; see clothView.ts. */
export interface ClothViewApi {
  /** @param finer the cloth that it has, worked out more closely: a picture of that is no picture of the cloth before */
  setCloth(cloth: PackedCloth | null, finer?: boolean): void;
  /** What a cloth is from afar, in whichever picture it is or will be: from then on nothing finer than a pixel is walked. */
  setFar(cloth: PackedCloth, far: FarCloth): void;
  setView(pose: Partial<ClothPose>): void;
  setLight(light: Partial<ClothLight>): void;
  setOptions(options: Pick<ClothViewOptions, 'background' | 'backLit' | 'samples'>): void;
  /** How the picture is shown, which draws nothing anew: call `step` once after it. */
  setLook(look: Pick<ClothViewOptions, 'heldAtMm' | 'lightnessOnly'>): void;
  /** Size of the drawing buffer in device pixels; a large one is drawn smaller and enlarged (see paneBudget.ts). */
  setSize(width: number, height: number): void;
  /** Several pictures instead of one; later ones lie over earlier ones. An empty list is the one picture again. */
  setPanes(panes: readonly ClothPaneSetup[]): void;
  /** While moving: fewer pixels, no secondary rays. */
  setMoving(moving: boolean): void;
  /** Draws one slice of work (at most about 50 ms) and shows the picture so far. Call once a frame until 'settled'. */
  step(): StepResult;
  /** x, y in device pixels from the top left of the canvas. Null on background. */
  pick(x: number, y: number): ClothPick | null;
  /** Fits the whole cloth into the picture, keeping its turn. */
  fitPose(): ClothPose;
  readonly pose: ClothPose;
  capture(width: number, height: number, samples: number, options?: CaptureOptions): Promise<CaptureResult>;
  dispose(): void;
}
