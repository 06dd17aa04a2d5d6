import { type ReactNode, useEffect, useRef } from 'react';

/** Lines of a message that come and go are no reason to scroll, px. */
const muchPx = 48;

/** What opens here, or grows by much, is brought into view: whole where there is room for it, else from its beginning. */
export function InView({ children }: { readonly children: ReactNode }) {
  const ref = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const element = ref.current;
    if (!element) return undefined;
    let heightPx = 0;
    const observer = new ResizeObserver(() => {
      const now = element.getBoundingClientRect().height;
      if (now > heightPx + muchPx) bringIntoView(element);
      heightPx = now;
    });
    observer.observe(element);
    return () => observer.disconnect();
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
