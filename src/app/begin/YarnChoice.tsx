import type { YarnCard } from '#document/schema/yarnSchema.ts';

/** One of the yarns at hand, by its id: the sample's own, then the rest of the shelf; '' where there may be none. */
export function YarnChoice(props: {
  readonly name: string;
  readonly own: readonly YarnCard[];
  readonly stock: readonly YarnCard[];
  readonly value: string;
  /** The words for none; absent: one must be chosen. */
  readonly none?: string;
  onChoose(id: string): void;
}) {
  const { name, own, stock, value, none, onChoose } = props;
  return (
    <label>
      <span className="soft">{name}</span>{' '}
      <select value={value} onChange={(event) => onChoose(event.target.value)}>
        {none !== undefined && <option value="">{none}</option>}
        <YarnOptions label="in this sample" yarns={own} />
        <YarnOptions label="in stock" yarns={stock} />
      </select>
    </label>
  );
}

function YarnOptions({ label, yarns }: { readonly label: string; readonly yarns: readonly YarnCard[] }) {
  if (yarns.length === 0) return null;
  return (
    <optgroup label={label}>
      {yarns.map(({ id, name }) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </optgroup>
  );
}
