import { type ReactNode, useId } from 'react';
import type { FormTrouble, OwnYarnForm, WrittenPart } from './ownYarnForm.ts';

export interface OwnFieldProps {
  readonly part: WrittenPart;
  readonly label: string;
  /** After the figure: "g". */
  readonly unit?: string;
  readonly form: OwnYarnForm;
  readonly troubles: readonly FormTrouble[];
  readonly troubleId: string;
  readonly onChange: (change: Partial<OwnYarnForm>) => void;
  readonly placeholder?: string;
}

/** The trouble that begins with this part of the form is told below it by the list of troubles. */
function concerned(troubles: readonly FormTrouble[], part: keyof OwnYarnForm, form: OwnYarnForm): boolean {
  return form[part] !== '' && troubles.some(({ parts }) => parts[0] === part);
}

/** A reading in writing: a figure where it has a unit, else words. */
export function OwnField({ part, label, unit, form, troubles, troubleId, onChange, placeholder }: OwnFieldProps) {
  const wrong = concerned(troubles, part, form);
  const id = useId();
  return (
    <div className="own-field">
      <label htmlFor={id}>
        {label}
        {unit !== undefined && unit !== '' && <span className="soft">{`, ${unit}`}</span>}
      </label>
      <input
        id={id}
        type="text"
        inputMode={unit === undefined ? undefined : 'decimal'}
        autoComplete="off"
        placeholder={placeholder}
        value={form[part]}
        aria-invalid={wrong}
        aria-describedby={wrong ? troubleId : undefined}
        onChange={(event) => onChange({ [part]: event.target.value })}
      />
    </div>
  );
}

export interface OwnChoiceProps {
  readonly part: WrittenPart;
  readonly label: string;
  readonly options: readonly (readonly [value: string, words: string])[];
  readonly form: OwnYarnForm;
  readonly troubles: readonly FormTrouble[];
  readonly troubleId: string;
  readonly onChange: (change: Partial<OwnYarnForm>) => void;
  /** Its words need the whole width. */
  readonly wide?: boolean;
}

export function OwnChoice({ part, label, options, wide, form, troubles, troubleId, onChange }: OwnChoiceProps) {
  const wrong = concerned(troubles, part, form);
  const id = useId();
  return (
    <div className={wide ? 'own-field wide' : 'own-field'}>
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        value={form[part]}
        aria-invalid={wrong}
        aria-describedby={wrong ? troubleId : undefined}
        onChange={(event) => onChange({ [part]: event.target.value })}
      >
        {options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}

export interface OwnGroupProps {
  readonly title: string;
  /** How it is done, in one line. */
  readonly how?: string;
  readonly children: ReactNode;
}

export function OwnGroup({ title, how, children }: OwnGroupProps) {
  return (
    <fieldset className="own-group">
      <legend>{title}</legend>
      {how && <p className="soft">{how}</p>}
      <div className="own-fields">{children}</div>
    </fieldset>
  );
}
