import { freeYarnId } from './commands/yarnCommands.ts';
import { sameTree } from './difference.ts';
import { formatEndOrder, parseEndOrder } from './notation/endOrder.ts';
import type { SampleBody } from './schema/sampleSchema.ts';
import type { WarpCard } from './schema/warpSchema.ts';
import type { YarnCard } from './schema/yarnSchema.ts';

type Yarns = Readonly<Record<string, YarnCard>>;

/** The id under which a yarn stands beside others: its own, unless that names another yarn there. What is left of either does not count. */
export function idBeside(yarns: Yarns, yarn: YarnCard): string {
  const there = Object.hasOwn(yarns, yarn.id) ? yarns[yarn.id] : undefined;
  if (!there || sameTree({ ...there, left: undefined }, { ...yarn, left: undefined })) return yarn.id;
  return freeYarnId({ yarns }, yarn.id);
}

/**
 * A warp laid on a loom beside yarns that are there already: yarns of both, and the warp with its order in their ids. A yarn
 * of the warp whose id names another yarn there gets an id of its own.
 */
export function warpBeside(
  yarns: Yarns,
  { yarns: warpYarns = {}, ...warp }: WarpCard,
): { readonly warp: SampleBody['warp']; readonly yarns: Record<string, YarnCard> } {
  const all: Record<string, YarnCard> = { ...yarns };
  const idOf = new Map<string, string>();
  for (const [was, yarn] of Object.entries(warpYarns)) {
    const id = idBeside(all, { ...yarn, id: was });
    idOf.set(was, id);
    all[id] ??= { ...yarn, id };
  }
  if ([...idOf].every(([was, id]) => was === id)) return { warp, yarns: all };
  const order = parseEndOrder(warp.order);
  // An order that cannot be read is told of by the check of the sample.
  if (!order.ok) return { warp, yarns: all };
  const { palette, index } = order.value;
  const named = palette.map((strands) => strands.map((id) => idOf.get(id) ?? id));
  return { warp: { ...warp, order: formatEndOrder({ palette: named, index }) }, yarns: all };
}
