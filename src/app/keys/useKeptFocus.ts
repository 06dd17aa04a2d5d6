import { useEffect } from 'react';

/** As many places as one may have come through before what has gone. */
const REMEMBERED = 24;
/** A key that does not repeat for so long was let go unheard, or never will, ms: systems wait no more than a second for the first repeat (from memory). */
const UNREPEATED_MS = 1200;

/**
 * Where what has the focus goes (a drawer closed by its key, a message, a field that is done with), the focus goes back to the
 * last place that had it and is still there, and else to the cloth: from nowhere, keys do nothing and Tab begins at the top.
 * From a button that has only gone dead it goes to the nearest beside it, else to the cloth. While a key is held it stays away,
 * so that the key's repeats do not press what they were not meant for. What is moved about the page keeps it by React's doing.
 */
export function useKeptFocus(): void {
  useEffect(() => {
    const places: HTMLElement[] = [];
    let asked = false;
    // Whoever pressed beside everything wants the focus nowhere.
    let pressed = false;
    let left = false;
    let held: ReturnType<typeof setTimeout> | undefined;
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
      if (held !== undefined) return;
      const last = places.at(-1);
      const now = document.activeElement;
      // What is out of sight may have it still for a while.
      const nowhere = now === document.body || (now instanceof HTMLElement && !isThere(now));
      if (left || !nowhere || !last || isThere(last)) return;
      if (isInSight(last) && (besides(last).some(take) || take(document.querySelector<HTMLElement>('.cloth-panel'))))
        return;
      for (let at = places.length - 1; at >= 0; at--) if (take(places[at])) return;
      take(document.querySelector<HTMLElement>('.cloth-panel'));
    };
    const ask = () => {
      if (asked) return;
      asked = true;
      requestAnimationFrame(() => setTimeout(look, 0));
    };
    const observer = new MutationObserver(ask);
    const letGo = () => {
      clearTimeout(held);
      held = undefined;
      ask();
    };
    const hold = () => {
      clearTimeout(held);
      held = setTimeout(letGo, UNREPEATED_MS);
    };
    const listening = new AbortController();
    const { signal } = listening;
    const first = { signal, capture: true };
    document.addEventListener('focusin', remember, { signal });
    document.addEventListener('focusout', leave, { signal });
    for (const each of presses) document.addEventListener(each, press, first);
    document.addEventListener('keydown', hold, first);
    document.addEventListener('keyup', letGo, first);
    window.addEventListener('blur', letGo, { signal });
    const attributeFilter = ['style', 'disabled'];
    observer.observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter });
    return () => {
      listening.abort();
      clearTimeout(held);
      observer.disconnect();
    };
  }, []);
}

function isThere(element: HTMLElement): boolean {
  return isInSight(element) && !element.matches(':disabled');
}

function isInSight(element: HTMLElement): boolean {
  return element.isConnected && element.checkVisibility({ visibilityProperty: true });
}

/** The buttons that stand with this one, the nearest first, and of two as near the one after it. */
function besides(button: HTMLElement): HTMLElement[] {
  const all = [...(button.parentElement?.children ?? [])];
  const at = all.indexOf(button);
  const away = (element: Element) => Math.abs(all.indexOf(element) - at);
  return all
    .filter((each) => each instanceof HTMLButtonElement && each !== button)
    .reverse()
    .sort((a, b) => away(a) - away(b)) as HTMLElement[];
}

/** Whether it took the focus; a list takes it by its rows, and gives it to another where it is asked for within one. */
function take(element: HTMLElement | null): boolean {
  if (!element || !isThere(element)) return false;
  const before = document.activeElement;
  (element.closest<HTMLElement>('[role=row][tabindex]') ?? element).focus({ preventScroll: true });
  return document.activeElement !== before;
}
