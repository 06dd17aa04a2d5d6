import { type ReactNode, useEffect, useId, useRef } from 'react';

export interface ModalDialogProps {
  readonly title: string;
  readonly className: string;
  /** It has closed, by whichever way. */
  readonly onClose: () => void;
  /** What it holds: a body of class `dialog-body` and a foot of class `dialog-foot`; `close` closes it. */
  readonly children: (close: () => void) => ReactNode;
}

/**
 * A dialog over the table, open for as long as it is there: every one opens with the focus within, closes by Escape or
 * its foot, and gives the focus back to where it was.
 */
export function ModalDialog({ title, className, onClose, children }: ModalDialogProps) {
  const ref = useRef<HTMLDialogElement>(null);
  const titleId = useId();
  useEffect(() => {
    if (ref.current && !ref.current.open) ref.current.showModal();
  }, []);
  return (
    <dialog ref={ref} className={`dialog ${className}`} aria-labelledby={titleId} onClose={onClose}>
      <h2 id={titleId}>{title}</h2>
      {children(() => ref.current?.close())}
    </dialog>
  );
}
