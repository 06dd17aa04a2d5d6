import { capital } from '#app/words/words.ts';
import { STATE_LOOKS } from './BlockGrid.tsx';
import type { LibraryWeave } from './library.ts';

export interface BlockStatesProps {
  /** Card of the structure of each state. */
  readonly states: readonly string[];
  readonly weaves: readonly LibraryWeave[];
  onChange(states: readonly string[]): void;
}

/** Which structure stands in squares of each look; more looks are added below. */
export function BlockStates({ states, weaves, onChange }: BlockStatesProps) {
  return (
    <>
      {states.map((id, state) => (
        <label key={STATE_LOOKS[state]}>
          <span className={`block-key block-${STATE_LOOKS[state]}`} aria-hidden="true" />{' '}
          <span className="soft">{`${capital(STATE_LOOKS[state])} squares`}</span>{' '}
          <select
            value={id}
            onChange={(event) => onChange(states.map((old, k) => (k === state ? event.target.value : old)))}
          >
            {weaves.map(({ card }) => (
              <option key={card.id} value={card.id}>
                {card.name}
              </option>
            ))}
          </select>
        </label>
      ))}
      <div className="weave-tools">
        {states.length < STATE_LOOKS.length && (
          <button type="button" onClick={() => onChange([...states, 'plain'])}>
            One more structure
          </button>
        )}
        {states.length > 2 && (
          <button type="button" onClick={() => onChange(states.slice(0, -1))}>
            {`Without ${STATE_LOOKS[states.length - 1]} squares`}
          </button>
        )}
      </div>
    </>
  );
}
