import { FIRST_CLOTH } from '#render/clothView.ts';

/** Longest that a page is waited for, ms. */
const PATIENCE = 60_000;

/**
 * The page itself, in a frame of 1920 × 1080: from the beginning of its navigation until anything is painted, until the
 * first cloth is on its canvas, and until that is drawn to its finest; ms. Once as it comes and once with no more than
 * every device offers, which compiles without KHR_parallel_shader_compile. The second finds its files and perhaps its
 * programs in caches: for a cold start give `?first=low` as well as `?first`, each to a browser of its own.
 */
export async function measureFirstPaint(order: string, say: (line: string) => void): Promise<void> {
  for (const search of order === 'low' ? ['?limits=low', ''] : ['', '?limits=low']) {
    const frame = document.createElement('iframe');
    frame.width = '1920';
    frame.height = '1080';
    frame.src = new URL(`../../../index.html${search}`, location.href).href;
    document.body.append(frame);
    const begun = performance.now();
    const until = async (what: () => number | undefined): Promise<number> => {
      for (;;) {
        const found = what();
        if (found !== undefined) return found;
        if (performance.now() - begun > PATIENCE) return Number.NaN;
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    };
    const marked = (name: string) => () => frame.contentWindow?.performance.getEntriesByName(name)[0]?.startTime;
    const cloth = await until(marked(FIRST_CLOTH));
    const paint = await until(marked('first-contentful-paint'));
    let rested: number | undefined;
    void frame.contentWindow?.forecloth?.ready.then(() => {
      rested = frame.contentWindow?.performance.now();
    });
    const finest = await until(() => rested);
    say(
      `first paint${search}: ${paint.toFixed(0)}, first cloth ${cloth.toFixed(0)}, cloth at its finest ${finest.toFixed(0)} ms from navigation`,
    );
    frame.remove();
  }
}
