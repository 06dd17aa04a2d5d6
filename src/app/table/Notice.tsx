import { useEffect, useLayoutEffect, useRef, useState } from 'react';
import { noticeMs } from '#app/model/notices.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';

/** The last message. It goes by itself in good time, but not while it is pointed at or has the focus. */
export function Notice() {
  const { ui } = useTable();
  const notice = useTableState((state) => state.notice);
  const term = useTableState((state) => state.noticeTerm);
  const [held, setHeld] = useState(false);
  const textRef = useRef<HTMLParagraphElement>(null);
  // One too long for its lines scrolls, and must be reachable to be scrolled by keys.
  const [scrolls, setScrolls] = useState(false);

  // biome-ignore lint/correctness/useExhaustiveDependencies: what is measured is the message
  useLayoutEffect(() => {
    const text = textRef.current;
    if (text) setScrolls(text.scrollHeight > text.clientHeight);
  }, [notice]);

  useEffect(() => {
    if (notice === '' || term.stays || held) return undefined;
    const timer = window.setTimeout(() => ui.getState().say(''), noticeMs(notice));
    return () => window.clearTimeout(timer);
  }, [ui, notice, term, held]);

  const close = () => {
    setHeld(false);
    ui.getState().say('');
  };
  return (
    <div className="notice-place">
      {/* biome-ignore lint/a11y/noStaticElementInteractions: pointing at the message only keeps it there; one that came up under a resting hand is not pointed at */}
      <div
        className="notice-box"
        onPointerMove={() => setHeld(true)}
        onPointerLeave={() => setHeld(false)}
        onFocus={() => setHeld(true)}
        onBlur={() => setHeld(false)}
      >
        <p ref={textRef} role="status" className="notice" tabIndex={scrolls ? 0 : undefined}>
          {notice}
        </p>
        {notice !== '' && (
          <button type="button" className="notice-close" onClick={close}>
            <span aria-hidden="true">×</span>
            <span className="out-of-sight">Close the message</span>
          </button>
        )}
      </div>
    </div>
  );
}
