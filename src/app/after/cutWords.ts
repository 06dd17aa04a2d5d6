import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import { counted } from '#app/words/words.ts';
import type { Treatment } from '#document/schema/afterLoomSchema.ts';
import type { CutReport, CutResult } from '#engine/cloth/after/afterTypes.ts';

export interface CutShown {
  readonly report: CutReport;
  readonly cut: CutResult;
}

const nothingWords: Readonly<Record<NonNullable<CutReport['nothing']>, string>> = {
  noFloats: 'Nothing is cut: there are no such floats here.',
  oneLayer: 'Nothing is cut: the cloth is one layer there.',
  nothingLeft: 'Not cut: it would leave nothing of the cloth. Keep the other part.',
  offTheCloth: 'Nothing is cut: the line does not cross the cloth.',
};

/** What was cut, what fell out or came loose, what is left, and which readings do not know of it. */
export function cutWords(treatment: Treatment, { report, cut }: CutShown, system: LengthSystem): string[] {
  if (report.nothing) return [nothingWords[report.nothing]];
  const number = (value: number) => formatNumber(value);
  const cuts =
    treatment.kind === 'clip'
      ? `${counted(report.cuts, 'float is', 'floats are', number)} clipped`
      : `${counted(report.cuts, 'thread is', 'threads are', number)} cut`;
  const percent = 100 * report.goneShare;
  const gone = percent >= 0.1 ? `, ${formatNumber(percent, 1)} % of the weight gone` : '';
  const words = [`${cuts}${gone}.`];
  if (report.fallen > 0) {
    words.push(
      `${counted(report.fallen, 'piece that nothing held falls out', 'pieces that nothing held fall out', number)}.`,
    );
  }
  if (report.loose > 0) {
    words.push(
      `${counted(report.loose, 'piece is', 'pieces are', number)} held by a few crossings only and will slip: bind, stitch or glue before it is handled.`,
    );
  }
  if (treatment.kind === 'cut' && treatment.what === 'through' && cut.piece) {
    const [width, length] = [cut.piece.widthMm, cut.piece.lengthMm].map((mm) => quantity(mm, 'length', system));
    words.push(`What is left is ${width.text} × ${length.text} ${length.unit}.`);
  }
  words.push('Weight and size allow for it; cover, thickness and take-up are those of the cloth before.');
  return words;
}
