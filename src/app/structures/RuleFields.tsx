import { NumberField } from '#app/after/NumberField.tsx';
import { TextField } from '#app/plan/TextField.tsx';
import { familyOf } from '#engine/weave/structures/families.ts';
import type { Param, RuleValue, StructureRule } from '#engine/weave/structures/ruleParams.ts';

export interface RuleFieldsProps {
  readonly rule: StructureRule;
  onChange(rule: StructureRule): void;
}

/** What can be set in a rule. */
export function RuleFields({ rule, onChange }: RuleFieldsProps) {
  const { params } = familyOf(rule.rule);
  return (
    <>
      {Object.entries(params).map(([key, param]) => (
        <ParamField
          key={key}
          param={param}
          value={Object.hasOwn(rule, key) ? rule[key] : param.usual}
          onChange={(value) => onChange({ ...rule, [key]: value })}
        />
      ))}
    </>
  );
}

function ParamField({
  param,
  value,
  onChange,
}: {
  readonly param: Param;
  readonly value: RuleValue;
  onChange(value: RuleValue): void;
}) {
  switch (param.kind) {
    case 'whole':
      return (
        <NumberField
          name={param.words}
          value={Number(value)}
          least={param.least}
          most={param.most}
          onChange={(number) => number !== undefined && onChange(Math.round(number))}
        />
      );
    case 'choice':
      return (
        <label>
          <span className="soft">{param.words}</span>{' '}
          <select value={value} onChange={(event) => onChange(event.target.value)}>
            {param.options.map((option) => (
              <option key={option}>{option}</option>
            ))}
          </select>
        </label>
      );
    default:
      return (
        <TextField
          name={param.words}
          value={String(value)}
          wide
          onTake={(text) => {
            onChange(text.trim());
            return true;
          }}
        />
      );
  }
}
