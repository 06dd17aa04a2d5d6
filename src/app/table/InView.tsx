import { type ReactNode, useEffect, useRef } from 'react';

/** Parts that are fetched, or measured first, come within this time of what opened them, ms. */
const openingMs = 5000;

/**
 * What opens here is brought into view: whole where there is room for it, else from its beginning. What comes later, by
 * the hand's own doing, scrolls nothing away from under the hand.
 */
export function InView({ children }: { readonly children: ReactNode }) {
  const ref = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const element = ref.current;
    if (!element) return undefined;
    let heightPx = 0;
    let until = performance.now() + openingMs;
    const observer = new ResizeObserver(() => {
      const now = element.getBoundingClientRect().height;
      if (now > heightPx && performance.now() < until) bringIntoView(element);
      heightPx = now;
    });
    // Another tab opens something else here.
    const onFocus = ({ target }: FocusEvent) => {
      if (target instanceof Element && target.matches('[role=tab]')) until = performance.now() + openingMs;
    };
    observer.observe(element);
    element.addEventListener('focusin', onFocus);
    return () => {
      observer.disconnect();
      element.removeEventListener('focusin', onFocus);
    };
  }, []);
  return (
    <div ref={ref} className="in-view">
      {children}
    </div>
  );
}

/** Scrolls at once, by as little as will do, what the element lies in. */
export function bringIntoView(element: Element): void {
  const scroller = scrollerOf(element);
  const frame = scroller.getBoundingClientRect();
  const covered = Number.parseFloat(getComputedStyle(scroller).scrollPaddingTop) || 0;
  const room = Math.min(frame.height, window.innerHeight) - covered;
  const whole = element.getBoundingClientRect().height <= room;
  element.scrollIntoView({ block: whole ? 'nearest' : 'start', inline: 'nearest' });
}

function scrollerOf(element: Element): Element {
  for (let at = element.parentElement; at; at = at.parentElement) {
    const { overflowY } = getComputedStyle(at);
    if (/auto|scroll/.test(overflowY) && at.scrollHeight > at.clientHeight) return at;
  }
  return document.documentElement;
}
