import { Choice } from '#app/table/Choice.tsx';
import type { YarnCard } from '#document/schema/yarnSchema.ts';

/** One of the yarns at hand, by its id; '' where there may be none. */
export function YarnChoice(props: {
  readonly name: string;
  readonly yarns: readonly YarnCard[];
  readonly value: string;
  /** The words for none; absent: one must be chosen. */
  readonly none?: string;
  onChoose(id: string): void;
}) {
  const { name, yarns, value, none, onChoose } = props;
  const known = yarns.map((yarn) => [yarn.id, yarn.name] as const);
  const options = none === undefined ? known : [['', none] as const, ...known];
  return <Choice name={name} value={value} options={options} onChoose={onChoose} />;
}
