import { type CSSProperties, type PointerEvent, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { type Pane, poseIn } from '#app/model/panes.ts';
import { clothPointAt, screenPointOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { TreatmentOf } from '#document/schema/afterLoomSchema.ts';
import type { ClothPlace } from '#engine/cloth/after/afterTypes.ts';
import { pickPositions, placeOf, pointsOf } from '#engine/cloth/after/cutLine.ts';
import { endLine, putLine } from './drawLine.ts';

type Cut = TreatmentOf<'cut'>;

interface PointPx {
  readonly xPx: number;
  readonly yPx: number;
}

/** A click so near the first place closes the outline, px. */
const CLOSES_PX = 14;

/** The lines of all cuts over the cloth. Their places are dragged; one line at a time is drawn anew, place by place. */
export default function CutLines() {
  const { samples } = useTable();
  const treatments = useStore(samples.state, (state) => state.sample.afterLoom) ?? [];
  const drawn = useTableState((state) => state.lineDrawn);
  const panes = useTableState((state) => state.panes);
  return panes
    .filter(({ cloth }) => cloth === 0)
    .map((pane, k) => (
      <div key={k} className="cut-lines" style={boxOf(pane)}>
        {treatments.map(
          (treatment, at) =>
            treatment.kind === 'cut' &&
            drawn?.place !== at + 1 && <CutLineShown key={at} pane={pane} treatment={treatment} place={at + 1} />,
        )}
        {drawn && <DrawingLayer pane={pane} place={drawn.place} line={drawn.line} />}
      </div>
    ));
}

function boxOf({ frame, clip }: Pane): CSSProperties {
  const { xPx, yPx, widthPx, heightPx } = clip ?? frame;
  return { left: xPx, top: yPx, width: widthPx, height: heightPx };
}

/** From places on the cloth to px of a pane's box, and back. */
function usePlaces(pane: Pane) {
  const { forecast } = useTable();
  const pose = useTableState((state) => state.pose);
  const size = useTableState((state) => state.size);
  const geometry = useStore(forecast.state, (state) => state.result?.geometry);
  const rowPick = useStore(forecast.state, (state) => state.resultCloth?.problem.rowPick);
  const picks = useMemo(
    () => (geometry && rowPick ? pickPositions(rowPick, geometry.rowYMm) : undefined),
    [geometry, rowPick],
  );
  if (!geometry || !picks) return undefined;
  const { endXMm } = geometry;
  const box = pane.clip ?? pane.frame;
  const [dx, dy] = [pane.frame.xPx - box.xPx, pane.frame.yPx - box.yPx];
  const held = poseIn(pane, pose);
  return {
    toPx: (line: readonly ClothPlace[]) =>
      pointsOf(line, endXMm, picks).map(({ x, y }) => {
        const { xPx, yPx } = screenPointOf(held, size, x, y);
        return { xPx: xPx + dx, yPx: yPx + dy };
      }),
    toPlace(xPx: number, yPx: number): ClothPlace | undefined {
      const point = clothPointAt(held, size, xPx - dx, yPx - dy);
      if (!point) return undefined;
      const { end, pick } = placeOf({ x: point.xMm, y: point.yMm }, endXMm, picks);
      return { end: Math.round(end * 10) / 10, pick: Math.round(pick * 10) / 10 };
    },
  };
}

function placeInBox(event: PointerEvent): readonly [xPx: number, yPx: number] {
  const box = event.currentTarget.closest('.cut-lines')?.getBoundingClientRect();
  return [event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0)];
}

/** A line, white with black about it, so that it is seen on any cloth. */
function Line({ points, closed }: { readonly points: readonly PointPx[]; readonly closed: boolean }) {
  const path = points.map(({ xPx, yPx }) => `${xPx.toFixed(1)},${yPx.toFixed(1)}`).join(' ');
  const Shape = closed ? 'polygon' : 'polyline';
  return (
    <svg aria-hidden="true">
      <Shape points={path} className="mark-outer" />
      <Shape points={path} className="mark-inner cut-line" />
    </svg>
  );
}

interface CutLineShownProps {
  readonly pane: Pane;
  readonly treatment: Cut;
  readonly place: number;
}

/** One cut's line, of which each place can be dragged. */
function CutLineShown({ pane, treatment, place }: CutLineShownProps) {
  const table = useTable();
  const places = usePlaces(pane);
  const [dragged, setDragged] = useState<number>();
  if (!places) return null;
  const { line, closed = false } = treatment;
  const points = places.toPx(line);

  function takeHold(event: PointerEvent, k: number) {
    event.preventDefault();
    event.stopPropagation();
    event.currentTarget.setPointerCapture(event.pointerId);
    table.samples.begin('move the cut');
    // The view stays while the cloth under it gets smaller or larger.
    table.ui.getState().moveBy((pose) => pose);
    setDragged(k);
  }

  function follow(event: PointerEvent, k: number) {
    if (dragged !== k) return;
    const to = places?.toPlace(...placeInBox(event));
    if (to) putLine(table, place, line.with(k, to), closed);
  }

  function letGo() {
    if (dragged === undefined) return;
    setDragged(undefined);
    table.samples.commit();
  }

  return (
    <>
      <Line points={points} closed={closed} />
      {points.map(({ xPx, yPx }, k) => (
        <span
          key={k}
          className="cut-place"
          style={{ left: xPx, top: yPx }}
          title={`Place ${k + 1} of the line of treatment ${place}: drag it, or change its numbers below`}
          onPointerDown={(event) => takeHold(event, k)}
          onPointerMove={(event) => follow(event, k)}
          onPointerUp={letGo}
          onPointerCancel={letGo}
        />
      ))}
    </>
  );
}

interface DrawingLayerProps {
  readonly pane: Pane;
  readonly place: number;
  readonly line: readonly ClothPlace[];
}

/** Takes clicks on the cloth as the places of a new line; the cloth is cut once it is done. */
function DrawingLayer({ pane, place, line }: DrawingLayerProps) {
  const table = useTable();
  const places = usePlaces(pane);
  if (!places) return null;
  const points = places.toPx(line);

  function onPointerDown(event: PointerEvent) {
    event.preventDefault();
    event.stopPropagation();
    const [xPx, yPx] = placeInBox(event);
    const first = points[0];
    if (line.length > 2 && Math.hypot(xPx - first.xPx, yPx - first.yPx) < CLOSES_PX) {
      endLine(table, true);
      return;
    }
    const next = places?.toPlace(xPx, yPx);
    if (next) table.ui.getState().drawLine({ place, line: [...line, next] });
  }

  return (
    <div className="cut-drawing" onPointerDown={onPointerDown}>
      <Line points={points} closed={false} />
      {points.map(({ xPx, yPx }, k) => (
        <span key={k} className="cut-place" style={{ left: xPx, top: yPx }} />
      ))}
      <p className="cut-drawing-word">
        {line.length < 3
          ? 'Click place after place on the cloth, then Done drawing.'
          : 'Click the first place again to close the outline, or Done drawing.'}
      </p>
    </div>
  );
}
