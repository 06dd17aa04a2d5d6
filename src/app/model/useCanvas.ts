import { type RefObject, useEffect, useRef } from 'react';
import type { InkColours } from './ribbonPaint.ts';

/**
 * Keeps a 2-D canvas sharp on any screen and repaints it once per frame at most when its inputs change.
 * `paint` draws in CSS px. The canvas's own box decides its size.
 */
export function useCanvas(
  paint: (context: CanvasRenderingContext2D, widthPx: number, heightPx: number, ink: InkColours) => void,
): RefObject<HTMLCanvasElement | null> {
  const canvasRef = useRef<HTMLCanvasElement>(null);
  const paintRef = useRef(paint);
  const requestRef = useRef(0);

  const repaintRef = useRef(() => {
    if (requestRef.current !== 0) return;
    requestRef.current = requestAnimationFrame(() => {
      requestRef.current = 0;
      const canvas = canvasRef.current;
      if (!canvas) return;
      const { width, height } = canvas.getBoundingClientRect();
      const ratio = window.devicePixelRatio || 1;
      const wide = Math.round(width * ratio);
      const high = Math.round(height * ratio);
      if (wide === 0 || high === 0) return;
      if (canvas.width !== wide) canvas.width = wide;
      if (canvas.height !== high) canvas.height = high;
      const context = canvas.getContext('2d');
      if (!context) return;
      context.setTransform(ratio, 0, 0, ratio, 0, 0);
      paintRef.current(context, width, height, readInk(canvas));
    });
  });

  useEffect(() => {
    paintRef.current = paint;
    repaintRef.current();
  });

  useEffect(() => {
    const canvas = canvasRef.current;
    if (!canvas) return;
    const repaint = repaintRef.current;
    const observer = new ResizeObserver(repaint);
    observer.observe(canvas);
    const scheme = window.matchMedia('(prefers-color-scheme: dark)');
    scheme.addEventListener('change', repaint);
    return () => {
      observer.disconnect();
      scheme.removeEventListener('change', repaint);
      cancelAnimationFrame(requestRef.current);
      requestRef.current = 0;
    };
  }, []);

  return canvasRef;
}

function readInk(element: Element): InkColours {
  const style = getComputedStyle(element);
  const read = (name: string) => style.getPropertyValue(name).trim();
  return { ink: read('--ink'), hairline: read('--hairline'), accent: read('--accent'), paper: read('--paper') };
}
