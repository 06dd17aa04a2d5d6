import { ALLOWANCES_UNSAID, type AllowanceRow, allowanceRows, outside } from './allowances.ts';
import { defences, STATES, type StatesRow, statesRows } from './threeStates.ts';

const percent = (share: number): string => (100 * share).toFixed(1);

function allowanceTable(rows: readonly AllowanceRow[]): string {
  return [
    '| allowance | what, % | forecast | allowed | within | taken for it |',
    '|---|---|---|---|---|---|',
    ...rows.map(({ id, what, forecast, allowed, within, taken }) => {
      const cells = [
        id,
        what,
        percent(forecast),
        allowed
          .map((share) => 100 * share)
          .map((p) => p.toFixed(0))
          .join('–'),
      ];
      return `| ${[...cells, within ? 'yes' : '**no**', taken].join(' | ')} |`;
    }),
  ].join('\n');
}

/** The section of docs/forecast.md on rules of thumb. */
export function allowanceSection(): string {
  const rows = allowanceRows();
  const within = rows.filter((row) => row.within);
  const mean = rows.reduce((sum, row) => sum + outside(row), 0) / rows.length;
  return `## Allowances of the yarn facts

Rules of thumb for kinds of cloth: structure and fibre are told, yarn, sett and beat are not, and one usual cloth is taken
for each; no constant was fitted to them. ${within.length} of ${rows.length} are within what is allowed, to half a per cent; on average forecasts lie
${percent(mean)} points outside.

${allowanceTable(rows)}

Too little is said by:

${Object.entries(ALLOWANCES_UNSAID)
  .map(([id, why]) => `- ${id}: ${why}`)
  .join('\n')}
`;
}

function statesTable(rows: readonly StatesRow[]): string {
  return [
    '| weft | width, mm | length, mm | ends/cm | picks/cm | thickness, mm | weight, g/m² | odd pick over, % |',
    '|---|---|---|---|---|---|---|---|',
    ...rows.map(({ name, states, standsProud }) => {
      const three = (value: (state: (typeof STATES)[number]) => string) => STATES.map(value).join(' / ');
      const cells = [
        name,
        three((state) => states[state].widthMm.value.toFixed(1)),
        three((state) => states[state].lengthMm.value.toFixed(1)),
        three((state) => states[state].endsPerCm.value.toFixed(1)),
        three((state) => states[state].picksPerCm.value.toFixed(1)),
        three((state) => states[state].thicknessMm.value.toFixed(2)),
        three((state) => states[state].weightGPerM2.value.toFixed(0)),
        percent(standsProud),
      ];
      return `| ${cells.join(' | ')} |`;
    }),
  ].join('\n');
}

/** The section of docs/forecast.md on one ground in three states. */
export function statesSection(): string {
  const rows = statesRows();
  return `## One ground in three states

Plain 10/2 cotton, 48 ends at 24 to the inch, 60 picks: at three beats, and at the middle one with every sixth pick of
another weft, all of preset yarns; washed by hand. Figures are on the loom / off it / finished. The last column is how much
longer the odd weft is than the finished cloth takes up. Ranges stand with each reading on the page.

${statesTable(Object.values(rows))}

Against what practice says of such cloths (common practice):

| rule | agrees | why |
|---|---|---|
${defences(rows)
  .map(({ rule, why, holds }) => `| ${rule} | ${holds ? 'yes' : '**no**'} | ${why} |`)
  .join('\n')}
`;
}
