import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';

const MAKER = 'The maker’s sheet and your local rules come first.';

function has(yarns: readonly YarnCard[], words: RegExp, lustre: RegExp = /^$/): boolean {
  return yarns.some((card) => words.test(`${card.fibre} ${card.name}`.toLowerCase()) || lustre.test(card.lustre ?? ''));
}

/** What heat or a bath does to the yarns that cannot bear it; empty where there are none. */
function heatWords(yarns: readonly YarnCard[], what: string): string {
  const parts: string[] = [];
  if (has(yarns, /film|polyethylene|plastic/, /film|hologram/)) parts.push('film curls and dulls');
  if (has(yarns, /elastane|stretch/)) parts.push('elastic slackens');
  if (has(yarns, /acetate/)) parts.push('acetate glazes');
  return parts.length > 0 ? ` In ${what} ${parts.join(', ')}: try a scrap.` : '';
}

/** What to look out for, in a line. Common practice; it defers to the maker and to local rules. */
export function cautionWords(treatment: Treatment, yarns: readonly YarnCard[]): string {
  switch (treatment.kind) {
    case 'overdye': {
      const bath =
        treatment.dye === 'disperse'
          ? ' Polyester wants a long boil with a carrier, or pressure: not for a kitchen.'
          : treatment.dye === 'vat'
            ? ' A vat is alkaline: goggles, and wool and silk only in one made for them.'
            : '';
      return `Gloves, and a mask while powder is weighed; pots for dye alone.${bath} A hot bath shrinks the cloth too.${heatWords(yarns, 'a hot bath')} ${MAKER}`;
    }
    case 'brush':
      return `Fibre dust: wear a dust mask and sweep damp. Brush with the warp, cloth held flat, a corner first; what is raised too far weakens and cannot be laid back.${has(yarns, /wire|steel|copper/, /metal/) ? ' Wire breaks and scratches under the brush.' : ''} ${MAKER}`;
    case 'clip':
    case 'cut':
      return `Blades: cut away from the hand that holds. Cut fibre flies: dust mask, and sweep.${has(yarns, /wire|steel|copper/, /metal/) ? ' Cut wire is sharp: fold its ends back.' : ''}${has(yarns, /glitter|paint/) ? ' Painted and glittered strips shed where they are cut.' : ''} A cut edge frays until it is stitched, bound or sealed. ${MAKER}`;
    case 'bend':
      return `Wire ends are sharp: fold them back. Bent to and fro at one place a wire breaks after some ten times; in a wash it scratches, and steel rusts. ${MAKER}`;
    case 'foil':
      return `Foil size gives off vapour and the press is hot: air the room, try a scrap.${heatWords(yarns, 'the press')} Leaf rubs off where the cloth is handled, and bears no washing unless its maker says so. ${MAKER}`;
  }
}
