export interface ChoiceProps<Value extends string> {
  readonly name: string;
  readonly value: Value;
  /** Values and the words for them. */
  readonly options: readonly (readonly [value: Value, words: string])[];
  /** The single key that steps it. */
  readonly keyShown?: string;
  onChoose(value: Value): void;
}

/** A named list of which one is chosen. */
export function Choice<Value extends string>({ name, value, options, keyShown, onChoose }: ChoiceProps<Value>) {
  return (
    <label>
      <span className="soft">{name}</span>{' '}
      <select
        value={value}
        aria-keyshortcuts={keyShown}
        title={keyShown && `${name}: the next (${keyShown})`}
        onChange={(event) => {
          const chosen = options.find(([known]) => known === event.target.value);
          if (chosen) onChoose(chosen[0]);
        }}
      >
        {options.map(([each, words]) => (
          <option key={each} value={each}>
            {words}
          </option>
        ))}
      </select>
      {keyShown && (
        <>
          {' '}
          <kbd aria-hidden>{keyShown}</kbd>
        </>
      )}
    </label>
  );
}
