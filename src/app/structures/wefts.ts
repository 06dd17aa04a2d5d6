import { parseEndOrder } from '#document/notation/endOrder.ts';
import type { SampleBody } from '#document/schema/sampleSchema.ts';
import { lightness, linearFromHex } from '#engine/colour/colour.ts';
import type { ThreadRole } from '#engine/weave/structures/structureTypes.ts';

/** Roles of picks in order of first use; one alone needs no weft of its own. */
export function pickRoles(picks: readonly ThreadRole[]): ThreadRole[] {
  return [...new Set(picks)];
}

/** Yarns of the sample, those that weave first, then the rest of the shelf. */
export function weftsOf(body: SampleBody): string[] {
  const woven = body.picks.flatMap(({ passes }) => passes.flatMap(({ strands }) => strands));
  return [...new Set([...woven, ...Object.keys(body.yarns)])];
}

/** Which weft weaves which role until she says otherwise: by weight and lightness where roles speak of them, else in turn. */
export function usualWefts(body: SampleBody, roles: readonly ThreadRole[]): Partial<Record<ThreadRole, string>> {
  const wefts = weftsOf(body);
  const by = (value: (id: string) => number) => [...wefts].sort((a, b) => value(a) - value(b));
  const light = by((id) => lightness(linearFromHex(body.yarns[id].coneColour)));
  const heavy = by((id) => -body.yarns[id].tex);
  const pick: Partial<Record<ThreadRole, string>> = {};
  roles.forEach((role, k) => {
    if (role === 'dark') pick[role] = light[0];
    else if (role === 'pale') pick[role] = light.at(-1);
    else if (role === 'thick' || role === 'wadding' || role === 'outline' || role === 'pattern') pick[role] = heavy[0];
    else pick[role] = wefts[k % wefts.length];
  });
  return pick;
}

/** Colours of the ends, left first. */
export function endColours(
  body: Pick<SampleBody, 'yarns'> & { readonly warp: Pick<SampleBody['warp'], 'order'> },
): string[] {
  const order = parseEndOrder(body.warp.order);
  if (!order.ok) return [];
  const colours = order.value.palette.map((strands) => body.yarns[strands[0]]?.coneColour ?? '#808080');
  return Array.from(order.value.index, (at) => colours[at]);
}

/** Colours of so many picks as they are woven, from one of them on (from 1); after the last those of the first. */
export function coloursFrom(body: Pick<SampleBody, 'picks' | 'yarns'>, fromPick: number, count: number): string[] {
  return Array.from({ length: count }, (_, row) => {
    const { passes } = body.picks[(fromPick - 1 + row) % body.picks.length];
    return body.yarns[passes[0].strands[0]]?.coneColour ?? '#808080';
  });
}
