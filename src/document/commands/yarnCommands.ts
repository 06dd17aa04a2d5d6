import { parseEndOrder } from '#document/notation/endOrder.ts';
import { type DocumentProblem, problemAt } from '#document/problem.ts';
import type { Sample, SampleBody } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { leftSchema, type YarnCard, yarnSchema } from '#document/schema/yarnSchema.ts';
import { ownName } from '#document/yarnName.ts';
import { yarnOfCount } from '#document/yarnOfCount.ts';
import { withColours, type YarnColours } from '#engine/yarn/yarnColours.ts';
import { type Command, firstProblem } from './command.ts';

function yarnProblem(sample: Sample, yarn: string): DocumentProblem | null {
  if (Object.hasOwn(sample.yarns, yarn)) return null;
  return problemAt(['yarns'], `has no yarn "${yarn}"`, 'choose one on the shelf');
}

/** Makes the yarn thicker or thinner: its linear density in tex, and the count as its label says it. */
export function setYarnCount(options: {
  readonly yarn: string;
  readonly tex: number;
  readonly count?: string;
}): Command {
  const { yarn, tex, count } = options;
  return {
    name: (sample) =>
      `make ${sample.yarns[yarn]?.name ?? yarn} ${tex < (sample.yarns[yarn]?.tex ?? 0) ? 'thinner' : 'thicker'}`,
    refusal: (sample) =>
      firstProblem(
        () => yarnProblem(sample, yarn),
        () => fieldProblem(yarnSchema, { ...sample.yarns[yarn], tex, count }, ['yarns', yarn]),
        () => fieldProblem(yarnSchema, yarnOfCount(sample.yarns[yarn], tex, count), ['yarns', yarn]),
      ),
    apply(draft) {
      draft.yarns[yarn] = yarnOfCount(draft.yarns[yarn], tex, count);
    },
  };
}

/** Dyes the yarn: its colour as a wound cone, #rrggbb; one colour in place of those of its plies, its fibres or along it. */
export function setYarnColour(options: {
  readonly yarn: string;
  readonly coneColour: string;
  readonly from?: string;
}): Command {
  const { yarn, coneColour, from } = options;
  return {
    ...setYarnColours({ yarn, colours: { of: 'one', coneColour }, from }),
    name: (sample) => `dye ${sample.yarns[yarn]?.name ?? yarn}`,
  };
}

/** How the yarn is coloured: in one colour, by its plies, by the fibres spun together, along its length, or printed on its face. */
export function setYarnColours(options: {
  readonly yarn: string;
  readonly colours: YarnColours;
  readonly from?: string;
}): Command {
  const { yarn, colours, from } = structuredClone(options);
  const { of, ...field } = colours;
  return {
    name: (sample) => `${colouring[of]} ${sample.yarns[yarn]?.name ?? yarn}`,
    refusal: (sample) =>
      firstProblem(
        () => yarnProblem(sample, yarn),
        () => fieldProblem(yarnSchema, { ...withoutColours(sample.yarns[yarn]), ...field }, ['yarns', yarn]),
      ),
    apply(draft) {
      draft.yarns[yarn] = withColours(draft.yarns[yarn], colours, from);
    },
  };
}

const colouring: Readonly<Record<YarnColours['of'], string>> = {
  one: 'dye',
  plies: 'choose the plies of',
  fibres: 'mix the fibres of',
  length: 'choose the colours along',
  print: 'print',
};

function withoutColours({
  plyColours: _plies,
  blend: _blend,
  colourRepeat: _repeat,
  print: _print,
  ...card
}: YarnCard) {
  return card;
}

/** Gives the yarn a name of the designer's own, which no change of count alters again. */
export function renameYarn(options: { readonly yarn: string; readonly name: string }): Command {
  const { yarn, name } = options;
  return {
    name: () => `call the yarn "${name}"`,
    refusal: (sample) =>
      firstProblem(
        () => yarnProblem(sample, yarn),
        () => fieldProblem(yarnSchema, { ...sample.yarns[yarn], name }, ['yarns', yarn]),
      ),
    apply(draft) {
      draft.yarns[yarn].name = name;
      draft.yarns[yarn].provenance = { ...draft.yarns[yarn].provenance, name: ownName };
    },
  };
}

/** How much longer than at rest the yarn is laid in, %; null: as is usual for its fibre. */
export function setLaidStretch(options: { readonly yarn: string; readonly percent: number | null }): Command {
  const { yarn, percent } = options;
  return {
    name: (sample) => `lay ${sample.yarns[yarn]?.name ?? yarn} stretched otherwise`,
    refusal: (sample) =>
      firstProblem(
        () => yarnProblem(sample, yarn),
        () =>
          fieldProblem(yarnSchema, { ...sample.yarns[yarn], laidStretchPercent: percent ?? undefined }, [
            'yarns',
            yarn,
          ]),
      ),
    apply(draft) {
      if (percent === null) delete draft.yarns[yarn].laidStretchPercent;
      else draft.yarns[yarn].laidStretchPercent = percent;
    },
  };
}

/** Notes how much of a yarn is on the shelf; null: it is not known. */
export function setYarnLeft(options: { readonly yarn: string; readonly left: YarnCard['left'] | null }): Command {
  const { yarn, left } = structuredClone(options);
  return {
    name: (sample) => `note what is left of ${sample.yarns[yarn]?.name ?? yarn}`,
    refusal: (sample) =>
      firstProblem(
        () => yarnProblem(sample, yarn),
        () => (left ? fieldProblem(leftSchema, left, ['yarns', yarn, 'left']) : null),
      ),
    apply(draft) {
      if (left) draft.yarns[yarn].left = left;
      else delete draft.yarns[yarn].left;
    },
  };
}

/** Puts a yarn on the sample's shelf. Its id must be free there; `freeYarnId` finds one. */
export function addYarn(card: YarnCard): Command {
  const copy = structuredClone(card);
  return {
    name: () => `add ${copy.name}`,
    refusal: (sample) =>
      firstProblem(
        () => fieldProblem(yarnSchema, copy, ['yarns', copy.id]),
        () =>
          Object.hasOwn(sample.yarns, copy.id)
            ? problemAt(['yarns', copy.id], 'is here already', 'give the new one another id')
            : null,
      ),
    apply(draft) {
      draft.yarns[copy.id] = copy;
    },
  };
}

/** The wanted id, or the first of wanted-2, wanted-3 … that the sample does not use. */
export function freeYarnId(body: Pick<SampleBody, 'yarns'>, wanted: string): string {
  let id = wanted;
  for (let n = 2; Object.hasOwn(body.yarns, id); n++) id = `${wanted}-${n}`;
  return id;
}

/** Where a yarn is used: first pick (from 1) that holds it, or in the warp; null where it is not used. */
export function yarnUse(body: SampleBody, yarn: string): string | null {
  const order = parseEndOrder(body.warp.order);
  if (order.ok && order.value.palette.some((strands) => strands.includes(yarn))) return 'the warp';
  const pick = body.picks.findIndex(({ passes }) => passes.some(({ strands }) => strands.includes(yarn)));
  return pick < 0 ? null : `pick ${pick + 1}`;
}

/** Takes a yarn off the shelf, once nothing is woven with it. */
export function removeYarn(yarn: string): Command {
  return {
    name: (sample) => `take ${sample.yarns[yarn]?.name ?? yarn} off the shelf`,
    refusal: (sample) =>
      firstProblem(
        () => yarnProblem(sample, yarn),
        () => {
          const use = yarnUse(sample, yarn);
          return use === null
            ? null
            : problemAt(['yarns', yarn], `is used in ${use}`, 'weave that with another yarn first');
        },
      ),
    apply(draft) {
      delete draft.yarns[yarn];
    },
  };
}
