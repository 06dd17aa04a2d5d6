import { type CSSProperties, type KeyboardEvent, type PointerEvent, useRef } from 'react';
import { useStore } from 'zustand';
import { putBeside } from '#app/model/beside.ts';
import { lensBox, type Pane, type PaneBox, poseIn } from '#app/model/panes.ts';
import { screenPointOf, sideOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';

/** Where there are several pictures: what each shows, the lines between them, and the edge of a split cloth. */
export function PaneEdges() {
  const shown = useTableState((state) => state.shown);
  const panes = useTableState((state) => state.panes);
  const lensed = useTableState((state) => state.lensAt !== undefined);
  const marked = useTableState((state) => state.marked !== undefined);
  if (shown === 'one' && !lensed && !marked) return null;
  return (
    <div className="pane-edges">
      {shown !== 'one' && panes.map((pane, k) => <PaneWord key={k} pane={pane} />)}
      {marked && panes.map((pane, k) => <Mark key={k} pane={pane} />)}
      {lensed && <LensEdge />}
      {shown === 'split' && <SplitEdge />}
    </div>
  );
}

function boxStyle({ xPx, yPx, widthPx, heightPx }: PaneBox): CSSProperties {
  return { left: xPx, top: yPx, width: widthPx, height: heightPx };
}

/** The marked place as a picture shows it, in each of them the same place; white with black about it, seen on any cloth. */
function Mark({ pane }: { readonly pane: Pane }) {
  const marked = useTableState((state) => state.marked);
  const pose = useTableState((state) => state.pose);
  const size = useTableState((state) => state.size);
  if (!marked) return null;
  const { frame, clip } = pane;
  const box = clip ?? frame;
  const corner = (xMm: number, yMm: number) => {
    const { xPx, yPx } = screenPointOf(poseIn(pane, pose), size, xMm, yMm);
    return `${(xPx + frame.xPx - box.xPx).toFixed(1)},${(yPx + frame.yPx - box.yPx).toFixed(1)}`;
  };
  const { minXMm, maxXMm, minYMm, maxYMm } = marked;
  const points = [corner(minXMm, minYMm), corner(maxXMm, minYMm), corner(maxXMm, maxYMm), corner(minXMm, maxYMm)];
  return (
    <svg className="marked-place" style={boxStyle(box)} aria-hidden="true">
      <polygon points={points.join(' ')} className="mark-outer" />
      <polygon points={points.join(' ')} className="mark-inner" />
    </svg>
  );
}

/** The rim of the lens; the hand below it moves it, so it takes no pointer itself. */
function LensEdge() {
  const lensAt = useTableState((state) => state.lensAt);
  const panel = useTableState((state) => state.panel);
  if (!lensAt) return null;
  return <div className="lens" style={boxStyle(lensBox(panel, lensAt.xPx, lensAt.yPx))} />;
}

function PaneWord({ pane }: { readonly pane: Pane }) {
  const side = useTableState((state) => sideOf(poseIn(pane, state.pose)));
  const shown = useTableState((state) => state.shown);
  const sideWord = side === 'face' ? 'Face' : 'Back';
  return (
    <div className="pane" style={boxStyle(pane.clip ?? pane.frame)}>
      {pane.cloth > 0 ? (
        <KeptWord place={pane.cloth - 1} />
      ) : (
        <p className="pane-word">{shown === 'kept' ? `On the table${side === 'back' ? ', back' : ''}` : sideWord}</p>
      )}
    </div>
  );
}

/** Which version is drawn here, to be exchanged for another. */
function KeptWord({ place }: { readonly place: number }) {
  const { ui, samples, kept } = useTable();
  const versions = useStore(samples.state, (state) => state.sample.versions);
  const name = useTableState((state) => state.beside[place]);
  const cloth = useStore(kept, (state) => state.cloths[place]);
  return (
    <div className="pane-word">
      <select
        aria-label={`Version in picture ${place + 2}`}
        value={name ?? ''}
        onChange={(event) => putBeside(ui, place, event.target.value)}
      >
        {versions.map((version) => (
          <option key={version.name}>{version.name}</option>
        ))}
      </select>
      {cloth?.trouble ? (
        <span className="trouble"> {cloth.trouble}</span>
      ) : (
        cloth?.result === undefined && <span className="soft"> being worked out</span>
      )}
    </div>
  );
}

/** Share of the width that an arrow key moves the edge by. */
const keyStep = 0.02;

function SplitEdge() {
  const { ui } = useTable();
  const splitAt = useTableState((state) => state.splitAt);
  const widthPx = useTableState((state) => state.panel.widthPx);
  const left = useTableState((state) => sideOf(state.pose));
  const draggingRef = useRef(false);

  function follow(event: PointerEvent<HTMLElement>): void {
    const panel = event.currentTarget.parentElement?.getBoundingClientRect();
    if (panel && panel.width > 0) ui.getState().splitTo((event.clientX - panel.left) / panel.width);
  }

  function onKeyDown(event: KeyboardEvent): void {
    const steps: Record<string, number> = { ArrowLeft: -keyStep, ArrowRight: keyStep, Home: -1, End: 1 };
    const step = steps[event.key];
    if (step === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    ui.getState().splitTo(splitAt + step);
  }

  return (
    <div
      className="split-edge"
      role="slider"
      tabIndex={0}
      aria-label="Edge between face and back"
      aria-orientation="horizontal"
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round(splitAt * 100)}
      aria-valuetext={`${left} on the left ${Math.round(splitAt * 100)} %`}
      style={{ left: Math.min(Math.max(splitAt * widthPx, 1), Math.max(widthPx - 1, 1)) }}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        draggingRef.current = true;
      }}
      onPointerMove={(event) => draggingRef.current && follow(event)}
      onPointerUp={() => {
        draggingRef.current = false;
      }}
      onPointerCancel={() => {
        draggingRef.current = false;
      }}
      onKeyDown={onKeyDown}
    />
  );
}
