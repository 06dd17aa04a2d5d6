import { curveHeight, curveOffset } from '#engine/cloth/curve.ts';
import type { Contact } from './contact.ts';
import { EVENED, LEAST_CHANGE } from './drawnPlace.ts';
import { createInSurface, type InSurface, lieIn } from './drawnSurface.ts';
import { addAside, addCurve, addSections, type Moves, type Span } from './span.ts';
import { isTight } from './tightBend.ts';

/** Places along the stretch that are tried, and how often the step about the best is halved. */
const PLACES = 16;
const CLOSER = 5;

const inFirst = createInSurface();
const inSecond = createInSurface();

/**
 * Two like threads as the picture draws them, sought all along: where they lean unlike, sections in one plane (`meetLike`) do not tell
 * how deep they lie in one another. As `meetLike` otherwise.
 */
export function meetLikeAllOver(
  contact: Contact,
  first: Span,
  second: Span,
  apartMm: number,
  leastMm: number,
  moves: Moves,
): boolean {
  const { of, pitchMm } = first;
  const tight = [isTight(first), isTight(second)];
  const reach = [of.halfHeightMm[first.thread], of.halfHeightMm[second.thread]];
  const share = reach[0] / (reach[0] + reach[1]);
  let best = -Infinity;
  let bestU = 0;
  let met = leastMm;
  let found = false;
  const tryAt = (u: number) => {
    const [w0, w1] = [offsetAt(first, u), apartMm + offsetAt(second, u)];
    const [z0, z1] = [heightAt(first, u), heightAt(second, u)];
    let w = w0 + share * (w1 - w0);
    let z = z0 + share * (z1 - z0);
    for (let step = 0; step <= EVENED; step++) {
      lieIn(inFirst, first, u, w, z, tight[0]);
      lieIn(inSecond, second, u, w - apartMm, z, tight[1]);
      const overlap = 2 * Math.min(inFirst.depthMm, inSecond.depthMm);
      if (overlap > best) {
        best = overlap;
        bestU = u;
      }
      // From the first into the second.
      const across = inFirst.acrossN - inSecond.acrossN;
      const up = inFirst.upN - inSecond.upN;
      const away = Math.hypot(across, up);
      if (overlap > met && away > LEAST_CHANGE) {
        found = true;
        met = overlap;
        contact.begin(overlap);
        addGives(contact, first, inFirst, u, -across / away, -up / away, moves);
        addGives(contact, second, inSecond, u, across / away, up / away, moves);
      }
      const even = (inFirst.depthMm - inSecond.depthMm) / Math.max(LEAST_CHANGE, away * away);
      w += even * across;
      z += even * up;
    }
  };
  for (let k = 0; k <= PLACES; k++) tryAt(k / PLACES);
  let step = 1 / PLACES;
  for (let closer = 0; closer < CLOSER && best + 2 * step * pitchMm > met; closer++) {
    step /= 2;
    const u = bestU;
    tryAt(Math.max(0, u - step));
    tryAt(Math.min(1, u + step));
  }
  return found;
}

const heightAt = ({ of, from, to, pitchMm }: Span, u: number) => curveHeight(of.field, from, to, pitchMm, u);
const offsetAt = ({ of, from, to, pitchMm }: Span, u: number) => curveOffset(of.field, from, to, pitchMm, u);

/** What of a thread gives where it is met at u: its section, and its curve by as much as it parts them when moved aside and up by a mm. */
function addGives(
  contact: Contact,
  span: Span,
  met: InSurface,
  u: number,
  aside: number,
  up: number,
  moves: Moves,
): void {
  const at = Math.min(1, Math.max(0, u + met.footMm / span.pitchMm));
  addSections(contact, span, at, met.tall, met.wide, false);
  addCurve(contact, span, at, up);
  if (moves !== 'upright') addAside(contact, span, at, aside);
}
