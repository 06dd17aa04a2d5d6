import { problemAt } from '#document/problem.ts';
import { passSchema, type WeftPass } from '#document/schema/pickSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, changePicks, firstProblem, pickSpanProblem, plain, type Span, spanInWords } from './command.ts';
import { edgesFor, isAcross, shortWeftProblem } from './edgeOfPass.ts';
import { strandsProblem } from './passCommands.ts';

/** Picks and one strand of them, by its yarn's id. */
export interface Strand {
  readonly picks: Span;
  readonly yarn: string;
}

/**
 * Winds one more strand of a yarn together with what the picks are woven with: with every weft that runs across, or with
 * those passes only that hold `beside`, part passes among them. The same yarn again doubles it.
 */
export function windWith({ picks, yarn, beside }: Strand & { readonly beside?: string }): Command {
  const takes = (pass: WeftPass) => (beside === undefined ? isAcross(pass) : pass.strands.includes(beside));
  return {
    name: (sample) => `wind ${sample.yarns[yarn]?.name ?? yarn} into ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () => strandsProblem(sample, [yarn]),
        () => {
          const taking = sample.picks.slice(picks.from - 1, picks.to).flatMap(({ passes }) => passes.filter(takes));
          if (taking.length === 0) {
            return problemAt(
              ['picks'],
              `has no weft to wind it with in ${spanInWords('pick', picks)}`,
              'choose other picks',
            );
          }
          const short = taking.some(isAcross) && shortWeftProblem(sample, [yarn]);
          if (short) return short;
          const most = taking.reduce((full, pass) => (pass.strands.length > full.strands.length ? pass : full));
          return fieldProblem(passSchema.entries.strands, [...most.strands, yarn], ['picks']);
        },
      ),
    apply(draft) {
      const yarns = plain(draft.yarns);
      changePicks(draft, picks, (pick) =>
        pick.passes.some(takes)
          ? {
              ...pick,
              passes: pick.passes.map((pass) =>
                takes(pass) ? edgesFor({ ...pass, strands: [...pass.strands, yarn] }, pass.strands, yarns) : pass,
              ),
            }
          : pick,
      );
    },
  };
}

/** Takes one strand of the yarn out of every pass of the picks in which it lies together with others. */
export function unwind({ picks, yarn }: Strand): Command {
  const holds = ({ strands }: WeftPass) => strands.length > 1 && strands.includes(yarn);
  return {
    name: (sample) => `take ${sample.yarns[yarn]?.name ?? yarn} out of ${spanInWords('pick', picks)}`,
    refusal: (sample) =>
      firstProblem(
        () => pickSpanProblem(sample, picks),
        () =>
          sample.picks.slice(picks.from - 1, picks.to).some(({ passes }) => passes.some(holds))
            ? null
            : problemAt(
                ['picks'],
                `has no "${sample.yarns[yarn]?.name ?? yarn}" wound with another yarn in ${spanInWords('pick', picks)}`,
                'choose a strand that lies together with others',
              ),
      ),
    apply(draft) {
      const yarns = plain(draft.yarns);
      changePicks(draft, picks, (pick) =>
        pick.passes.some(holds)
          ? {
              ...pick,
              passes: pick.passes.map((pass) => {
                if (!holds(pass)) return pass;
                const strands = pass.strands.toSpliced(pass.strands.lastIndexOf(yarn), 1);
                return edgesFor({ ...pass, strands }, pass.strands, yarns);
              }),
            }
          : pick,
      );
    },
  };
}
