import type { Readings } from '#engine/cloth/forecast/readings.ts';

/** What is asked of a still picture; the command line checks the ranges. */
export interface StillOptions {
  readonly side: 'face' | 'back';
  readonly view: 'square' | 'turned' | 'raking';
  readonly width: number;
  readonly height: number;
  /** Samples a pixel. */
  readonly samples: number;
  /** 1 shows all of the cloth, 4 a quarter of its width. */
  readonly zoom?: number;
}

export interface Still {
  readonly pngBase64: string;
  readonly readings: Readings;
}

declare global {
  interface Window {
    foreclothStill?: (sampleText: string, options: StillOptions) => Promise<Still>;
  }
}
