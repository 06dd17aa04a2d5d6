import { useEffect, useMemo, useRef } from 'react';
import { conventionWords } from '#app/draft/conventions.ts';
import { draftLayout } from '#app/draft/draftLayout.ts';
import { paintDraft } from '#app/draft/paintDraft.ts';
import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';
import { linesIn } from '#document/comesAgain.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { ListedItem } from '#document/weavingList.ts';
import { MOST_PIECES, type PlanDraft, piecesOfPlan, planDrafts } from './planDraft.ts';

/** Black on white on every screen, as on paper. */
const INK = { ink: '#000000', hairline: '#9a9a9a', accent: '#000000', paper: '#ffffff' };
/** Dots to a CSS px: nearly 400 to the inch, finer than a desk printer shows; where pieces are many, half as many, for memory's sake. */
const DOTS = 4;
const DOTS_OF_MANY = 2;
/** From this many pieces on they are many (chosen: 30 MB for each that is as large as paper). */
const MANY_PIECES = 8;
/** A drawing as wide as that leaves a list room beside it on paper, CSS px. */
const MOST_BESIDE_PX = 300;
const UNMARKED = { rows: undefined, ends: undefined };

/** The draft drawn small, its picks numbered as they are in the list. */
export function DraftPart({ sample, items }: { readonly sample: Sample; readonly items: readonly ListedItem[] }) {
  const { dialect, draft: conventions } = useTableState((state) => state.preferences);
  const drafts = useMemo(() => planDrafts(sample, items, conventions), [sample, items, conventions]);
  if (drafts.length === 0) {
    const pieces = formatNumber(piecesOfPlan(sample, items));
    return (
      <section aria-label="The draft">
        <p className="soft">
          {`The draft is not drawn here: so many picks repeat nowhere that it would take ${pieces} drawings, and no more than ${MOST_PIECES} are made. The list below says every pick; for drawings, plan the cloth in shorter samples.`}
        </p>
      </section>
    );
  }
  const dots = drafts.length < MANY_PIECES ? DOTS : DOTS_OF_MANY;
  const treadled = sample.loom.control.kind === 'treadles';
  const drawnEnds = Math.max(...drafts.map(({ ends }) => ends[1]));
  const broken = linesIn(items).length > 1;
  const plan = treadled ? 'treadling' : word('liftPlan', dialect);
  const again =
    drawnEnds < sample.warp.ends
      ? ` Ends 1–${formatNumber(drawnEnds)} come again until end ${formatNumber(sample.warp.ends)}.`
      : '';
  return (
    <section aria-label="The draft">
      {drafts.map((draft, k) => (
        <figure
          key={`${draft.ends[0]} ${draft.picks[0]}`}
          className={draft.widthPx <= MOST_BESIDE_PX ? 'plan-draft beside' : 'plan-draft'}
        >
          <DraftDrawing draft={draft} dots={dots} />
          <figcaption style={{ maxWidth: Math.max(draft.widthPx, 280) }}>
            {k === 0 &&
              `Threading above, ${treadled ? 'tie-up in the corner, ' : ''}${plan} to the right. ${conventionWords(conventions, treadled)}${again}${broken ? ' What is written once is drawn once, a thick line wherever the numbers leap or another round begins.' : ''}`}
            {drafts.length > 1 &&
              ` Ends ${formatNumber(draft.ends[0])}–${formatNumber(draft.ends[1])}, picks ${formatNumber(draft.picks[0])}–${formatNumber(draft.picks[1])}.`}
          </figcaption>
        </figure>
      ))}
    </section>
  );
}

function DraftDrawing({ draft, dots }: { readonly draft: PlanDraft; readonly dots: number }) {
  const canvasRef = useRef<HTMLCanvasElement>(null);
  const { sheet, widthPx, heightPx, cellPx, ends, picks } = draft;
  useEffect(() => {
    const context = canvasRef.current?.getContext('2d');
    if (!context) return;
    const layout = draftLayout(sheet, widthPx, heightPx, cellPx);
    context.setTransform(dots, 0, 0, dots, 0, 0);
    context.fillStyle = INK.paper;
    context.fillRect(0, 0, widthPx, heightPx);
    paintDraft(context, sheet, layout, { x: 0, y: 0 }, UNMARKED, INK, formatNumber);
    const to = layout.planLeft + (sheet.tieUp?.length ?? sheet.shafts) * cellPx;
    for (const line of draft.roundLines)
      context.fillRect(layout.left, layout.top + line * cellPx - 0.5, to - layout.left, 2);
  }, [draft, dots, sheet, widthPx, heightPx, cellPx]);
  return (
    <canvas
      ref={canvasRef}
      width={widthPx * dots}
      height={heightPx * dots}
      style={{ width: widthPx }}
      role="img"
      aria-label={`The draft of ends ${ends[0]} to ${ends[1]}, picks ${picks[0]} to ${picks[1]}: the list says the same in words`}
    />
  );
}
