import { useEffect } from 'react';

/** As many places as one may have come through before what has gone. */
const REMEMBERED = 24;

/**
 * Where what has the focus goes (a drawer closed by its key, a message, a field that is done with), the focus goes back to the
 * last place that had it and is still there, and else to the cloth: from nowhere, keys do nothing and Tab begins at the top.
 */
export function useKeptFocus(): void {
  useEffect(() => {
    const places: HTMLElement[] = [];
    let asked = false;
    // Whoever pressed beside everything wants the focus nowhere.
    let pressed = false;
    let left = false;
    const press = ({ type }: PointerEvent) => {
      pressed = type === 'pointerdown';
    };
    const leave = ({ relatedTarget }: FocusEvent) => {
      left = relatedTarget === null && pressed;
    };
    const presses = ['pointerdown', 'pointerup', 'pointercancel'] as const;
    const remember = ({ target }: FocusEvent) => {
      if (!(target instanceof HTMLElement)) return;
      left = false;
      const at = places.indexOf(target);
      if (at >= 0) places.splice(at, 1);
      places.push(target);
      if (places.length > REMEMBERED) places.shift();
    };
    const look = () => {
      asked = false;
      const last = places.at(-1);
      const now = document.activeElement;
      // What is out of sight may have it still for a while.
      const nowhere = now === document.body || (now instanceof HTMLElement && !isThere(now));
      if (left || !nowhere || !last || isThere(last)) return;
      for (let at = places.length - 1; at >= 0; at--) if (take(places[at])) return;
      take(document.querySelector<HTMLElement>('.cloth-panel'));
    };
    const observer = new MutationObserver(() => {
      if (asked) return;
      asked = true;
      requestAnimationFrame(() => setTimeout(look, 0));
    });
    document.addEventListener('focusin', remember);
    document.addEventListener('focusout', leave);
    for (const each of presses) document.addEventListener(each, press, true);
    const attributeFilter = ['style', 'disabled'];
    observer.observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter });
    return () => {
      document.removeEventListener('focusin', remember);
      document.removeEventListener('focusout', leave);
      for (const each of presses) document.removeEventListener(each, press, true);
      observer.disconnect();
    };
  }, []);
}

function isThere(element: HTMLElement): boolean {
  return element.isConnected && !element.matches(':disabled') && element.checkVisibility({ visibilityProperty: true });
}

/** Whether it took the focus; a list takes it by its rows, and gives it to another where it is asked for within one. */
function take(element: HTMLElement | null): boolean {
  if (!element || !isThere(element)) return false;
  const before = document.activeElement;
  (element.closest<HTMLElement>('[role=row][tabindex]') ?? element).focus({ preventScroll: true });
  return document.activeElement !== before;
}
