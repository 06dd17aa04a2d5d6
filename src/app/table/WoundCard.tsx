import { useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { cardDevicePx, cardPx, cardScale, cardScaleWords } from '#app/model/cardPictures.ts';
import { cssPxPerMm } from '#app/model/preferences.ts';
import type { ShelfYarn } from '#app/model/shelfYarns.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { FlatCard } from './FlatCard.tsx';

/** Cards this near to being seen are asked for, so that they are there when they come into sight. */
const nearSight = '120px';

/**
 * Yarn wound round a card, turn beside turn, drawn as the cloth is and in its light; plain colour stands in until it is
 * drawn, and where nothing can be drawn.
 */
export function WoundCard({ yarn }: { readonly yarn: ShelfYarn }) {
  const { cards } = useTable();
  const hostRef = useRef<HTMLSpanElement>(null);
  const canvasRef = useRef<HTMLCanvasElement>(null);
  const [inSight, setInSight] = useState(false);
  const light = useTableState((state) => state.preferences.light);
  const { card } = yarn;
  const pixels = useStore(cards.state, () => cards.pictureOf(card, light));
  const scale = cardScale(yarn.widthMm);

  useEffect(() => {
    const host = hostRef.current;
    if (!host) return;
    const observer = new IntersectionObserver(
      (entries) => setInSight(entries.some(({ isIntersecting }) => isIntersecting)),
      { rootMargin: nearSight },
    );
    observer.observe(host);
    return () => observer.disconnect();
  }, []);

  useEffect(() => (inSight ? cards.ask(card) : undefined), [cards, card, inSight]);

  useEffect(() => {
    const context = pixels && canvasRef.current?.getContext('2d');
    if (pixels && context) context.putImageData(new ImageData(pixels, cardDevicePx), 0, 0);
  }, [pixels]);

  return (
    <span
      ref={hostRef}
      className="wound-card"
      role="img"
      aria-label={`wound on a card, ${cardScaleWords(yarn.widthMm)}`}
      data-drawn={pixels !== undefined}
    >
      {pixels ? (
        <canvas ref={canvasRef} width={cardDevicePx} height={cardDevicePx} />
      ) : (
        <FlatCard sidePx={cardPx} colours={yarn.colours} turnPx={yarn.widthMm * scale * cssPxPerMm} />
      )}
    </span>
  );
}
