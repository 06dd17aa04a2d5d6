import { enclosingRadius } from './circlePacking.ts';
import { SPUN_PACKING } from './compression.ts';
import { bundleFinishing } from './finishing.ts';
import { bundleGrip } from './grip.ts';
import { bundleUnevenness } from './unevenness.ts';
import { unevennessField } from './yarnBody.ts';
import type { YarnBody } from './yarnTypes.ts';

const sum = (bodies: readonly YarnBody[], of: (body: YarnBody) => number): number =>
  bodies.reduce((total, body) => total + of(body), 0);

/**
 * Width and height of strands lying together: across, the circle that encloses round strands (two lie side by side,
 * 2 d × d), or the widest strip if that is wider; then as high as their areas, which add, need at that width.
 */
function bundleSection(
  bodies: readonly YarnBody[],
  widthOf: (body: YarnBody) => number,
  heightOf: (body: YarnBody) => number,
): { readonly width: number; readonly height: number } {
  const circles = bodies.filter((body) => body.shape === 'round').map((body) => widthOf(body) / 2);
  let width = 2 * enclosingRadius(circles);
  let tallest = 0;
  for (const body of bodies) {
    if (body.shape === 'strip') width = Math.max(width, widthOf(body));
    tallest = Math.max(tallest, heightOf(body));
  }
  return { width, height: Math.max(tallest, sum(bodies, (body) => widthOf(body) * heightOf(body)) / width) };
}

/**
 * Several yarns in one shed, or in one heald, as a single thread.
 *
 * Widths by circle packing (R. L. Graham 1968; see `circlePacking.ts`), areas and tex add, bending adds as strands free
 * to slide (the lower bound; plied or stuck strands are stiffer). Strands lie parallel: no twist of their own accord.
 * `ids` are the strands' yarn ids, in the order of `bodies`. One strand comes back unchanged but for its ids.
 * Widths within about 10 % where strands stay put; they may also lie flatter.
 */
export function bundleBody(bodies: readonly YarnBody[], ids: readonly string[]): YarnBody {
  if (bodies.length === 0) throw new RangeError('a bundle of no strands: give at least one yarn');
  if (bodies.length !== ids.length) {
    throw new RangeError(`${bodies.length} strands but ${ids.length} ids: give one id a strand`);
  }
  if (bodies.length === 1) return { ...bodies[0], strands: ids };

  const contact = bundleSection(
    bodies,
    (body) => body.contactWidthMm,
    (body) => body.contactHeightMm,
  );
  const body = bundleSection(
    bodies,
    (strand) => strand.bodyWidthMm,
    (strand) => strand.bodyHeightMm,
  );
  // Halos of neighbours run into one another: only the bundle's outer halo shows.
  const halo = Math.max(...bodies.map((strand) => strand.freeWidthMm - strand.bodyWidthMm));
  const heaviest = bodies.reduce((most, strand) => (strand.tex > most.tex ? strand : most));
  // Wires lie side by side and yield each for itself; the stiffest springs back least beside the rest.
  const bends = bodies
    .flatMap((strand) => (strand.bends ? [strand.bends] : []))
    .reduce<YarnBody['bends']>(
      (thickest, core) => (thickest && thickest.wireMm >= core.wireMm ? thickest : core),
      undefined,
    );
  const tex = sum(bodies, (strand) => strand.tex);
  const finishing = bundleFinishing(bodies);

  return {
    id: ids.join('+'),
    tex,
    shape: bodies.some((strand) => strand.shape === 'strip' && strand.contactWidthMm >= contact.width)
      ? 'strip'
      : 'round',
    plies: bodies.length,
    freeWidthMm: body.width + halo,
    bodyWidthMm: body.width,
    bodyHeightMm: body.height,
    contactWidthMm: contact.width,
    contactHeightMm: contact.height,
    bendingNmm2: sum(bodies, (strand) => strand.bendingNmm2),
    bendingRangeNmm2: [
      sum(bodies, (strand) => strand.bendingRangeNmm2[0]),
      sum(bodies, (strand) => strand.bendingRangeNmm2[1]),
    ],
    contactStiffnessN: sum(bodies, (strand) => strand.contactStiffnessN),
    contactPacking: sum(bodies, (strand) => (strand.contactPacking ?? SPUN_PACKING) * strand.tex) / tex,
    twistAngleRad: sum(bodies, (strand) => strand.twistAngleRad * strand.tex) / tex,
    twistTurnsPerM: 0,
    twistDirection: heaviest.twistDirection,
    ...(finishing ? { finishing } : {}),
    ...bundleGrip(bodies),
    ...(bends ? { bends } : {}),
    ...unevennessField(bundleUnevenness(bodies)),
    strands: ids,
  };
}
