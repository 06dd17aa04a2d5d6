import { Choice } from '#app/table/Choice.tsx';
import type { AreaChange } from '#engine/draft/area.ts';
import type { DraftConventions } from './conventions.ts';
import type { DraftTool } from './draftCells.ts';

const tools: readonly (readonly [DraftTool, string, string])[] = [
  ['choose', 'Point', 'A click chooses a pick or an end'],
  ['mark', 'Mark', 'Mark and clear squares, freehand'],
  ['line', 'Line', 'A straight line of squares'],
  ['rectangle', 'Block', 'All squares between two corners'],
  ['area', 'Area', 'Choose part of the drawdown, to fill or change it'],
];

export interface ToolChoiceProps {
  readonly tool: DraftTool;
  readonly treadled: boolean;
  onTool(tool: DraftTool): void;
}

/** What the pointer does on the sheet. */
export function ToolChoice({ tool, treadled, onTool }: ToolChoiceProps) {
  const more = (each: DraftTool) =>
    treadled && each === 'line' ? '; through the treadling, these treadles in place of those pressed before' : '';
  return (
    <fieldset className="tools" aria-label="Drawing">
      {tools.map(([each, words, does]) => (
        <button
          key={each}
          type="button"
          aria-pressed={tool === each}
          title={does + more(each)}
          onClick={() => onTool(each)}
        >
          {words}
        </button>
      ))}
    </fieldset>
  );
}

const changes: readonly (readonly [AreaChange, string, string])[] = [
  ['mirrorAcross', 'Mirror ⇆', 'Left and right change places'],
  ['mirrorAlong', 'Mirror ⇅', 'First and last pick change places'],
  ['turn', 'Quarter turn', 'Ends become picks'],
  ['slideAcross', 'Slide →', 'Each end’s marks go to the next end, round the edge'],
  ['slideAlong', 'Slide ↑', 'Each pick’s marks go to the next pick, round the edge'],
  ['swapFaces', 'Swap faces', 'What is up goes down'],
];

export interface AreaToolsProps {
  readonly weaves: readonly { readonly id: string; readonly name: string }[];
  onChange(change: AreaChange): void;
  onFill(weaveId: string): void;
}

/** What can be done to the area chosen. */
export function AreaTools({ weaves, onChange, onFill }: AreaToolsProps) {
  return (
    <fieldset className="tools" aria-label="The area">
      <label>
        <span className="soft">Fill with</span>{' '}
        <select value="" onChange={(event) => event.target.value !== '' && onFill(event.target.value)}>
          <option value="">a structure…</option>
          {weaves.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      {changes.map(([change, words, does]) => (
        <button key={change} type="button" title={does} onClick={() => onChange(change)}>
          {words}
        </button>
      ))}
    </fieldset>
  );
}

const orders = [
  ['mirror', 'Mirror'],
  ['slide', 'Slide round'],
  ['alternate', 'One and one'],
] as const;

export interface OrderToolsProps {
  /** "picks 4–12", "ends 1–16". */
  readonly what: string;
  readonly refusedBecause?: string;
  /** Undefined for a thread by itself, which has no order. */
  readonly onOrder: ((how: (typeof orders)[number][0]) => void) | undefined;
  onAgain(): void;
  onTakeOut(): void;
}

/** The picks or ends chosen: in another order, once more, or out; the rest moves. */
export function OrderTools({ what, refusedBecause, onOrder, onAgain, onTakeOut }: OrderToolsProps) {
  const disabled = refusedBecause !== undefined;
  return (
    <fieldset className="tools" aria-label={`Order of ${what}`}>
      <span className="soft">{what}:</span>
      {(onOrder ? orders : []).map(([how, words]) => (
        <button
          key={how}
          type="button"
          disabled={disabled}
          title={
            refusedBecause ??
            (how === 'alternate' ? 'Their two halves, one of each in turn, as two cloths need' : words)
          }
          onClick={() => onOrder?.(how)}
        >
          {words}
        </button>
      ))}
      <button
        type="button"
        disabled={disabled}
        title={refusedBecause ?? 'Once more after these; the rest moves on'}
        onClick={onAgain}
      >
        Again
      </button>
      <button type="button" disabled={disabled} title={refusedBecause ?? 'Out; the rest closes up'} onClick={onTakeOut}>
        Take out
      </button>
    </fieldset>
  );
}

export interface ConventionToolsProps {
  readonly value: DraftConventions;
  onChange(value: DraftConventions): void;
}

/** How the reader is used to see drafts drawn. */
export function ConventionTools({ value, onChange }: ConventionToolsProps) {
  const choice = <Key extends keyof DraftConventions>(
    key: Key,
    name: string,
    options: readonly (readonly [DraftConventions[Key], string])[],
  ) => (
    <Choice
      name={name}
      value={value[key]}
      options={options}
      onChoose={(chosen) => onChange({ ...value, [key]: chosen })}
    />
  );
  return (
    <details className="draft-conventions">
      <summary>Drawn how</summary>
      <div className="tools">
        {choice('shaftOne', 'Shaft 1', [
          ['below', 'lowest'],
          ['above', 'topmost'],
        ])}
        {choice('endOne', 'End 1', [
          ['left', 'left'],
          ['right', 'right'],
        ])}
        {choice('firstPick', 'First pick', [
          ['below', 'lowest'],
          ['above', 'topmost'],
        ])}
        {choice('filled', 'Filled shafts', [
          ['rises', 'rise'],
          ['sinks', 'sink'],
        ])}
        {choice('side', 'Drawdown of', [
          ['face', 'the face'],
          ['back', 'the back'],
        ])}
      </div>
    </details>
  );
}

export interface DraftOutProps {
  onDraft(): void;
  onDrawdown(): void;
}

/** Files of the draft, to be taken elsewhere. */
export function DraftOut({ onDraft, onDrawdown }: DraftOutProps) {
  return (
    <fieldset className="tools" aria-label="Draft to a file">
      <select
        value=""
        aria-label="Save the draft"
        onChange={(event) => (event.target.value === 'draft' ? onDraft() : onDrawdown())}
      >
        <option value="">Draft out…</option>
        <option value="draft">Draft, for exchange</option>
        <option value="drawdown">Drawdown, one pixel a crossing</option>
      </select>
    </fieldset>
  );
}
