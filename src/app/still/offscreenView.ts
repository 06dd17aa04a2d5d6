import { WebGLRenderer } from 'three';
import { ClothView } from '#render/clothView.ts';
import type { ClothViewOptions } from '#render/clothViewTypes.ts';

/**
 * A view on a canvas that no one sees, for as long as the work takes. It shares nothing with the table's own, which goes on
 * meanwhile.
 * @throws what the work throws, or why there is no context
 */
export async function withOffscreenView<T>(
  options: ClothViewOptions,
  work: (view: ClothView) => Promise<T>,
): Promise<T> {
  const renderer = new WebGLRenderer({ canvas: document.createElement('canvas'), antialias: false });
  const view = new ClothView(renderer, options);
  try {
    return await work(view);
  } finally {
    view.dispose();
    renderer.dispose();
    // Browsers hold few contexts at a time and give up the oldest, which is the table's.
    renderer.forceContextLoss();
  }
}
