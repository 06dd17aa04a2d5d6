import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { beatNeededWords, lengthText } from '#app/plan/planWords.ts';
import { loomWords } from '#app/table/loomWords.ts';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { beatNeeded } from '#document/beatNeeded.ts';
import { dentsOfWarp } from '#document/notation/denting.ts';
import { parseEndOrder } from '#document/notation/endOrder.ts';
import { threadingText } from '#document/notation/threading.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';

/** The loom as it has to stand: warp, draw, reed, beat, tie-up, and what is known to go wrong on it. */
export function LoomPart({ sample }: { readonly sample: Sample }) {
  const { loom, warp, beat, yarns } = sample;
  const { forecast } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const firmnessNeeded = useStore(forecast.state, ({ status, result }) =>
    status === 'settled' ? result?.readings.firmnessNeeded : undefined,
  );
  const per = (value: number) => {
    const { text, unit } = quantity(value, 'perLength', system);
    return `${text} ${unit}`;
  };
  const { widthMm } = dentsOfWarp(warp);
  const { dentsPerCm, endsPerDent } = warp.reed;
  const order = parseEndOrder(warp.order);
  const ids = order.ok ? [...new Set(order.value.palette.flat())] : [];
  const named = ids.map((id) => `${id} = ${yarns[id]?.name ?? id}`).join(', ');
  const ordered = typeof warp.order === 'string' ? warp.order : warp.order.join(', ');
  const lines: readonly (readonly [string, string])[] = [
    ['Loom', `${loom.name}: ${loomWords(loom)}`],
    ['Warp', `${warp.name}: ${formatNumber(warp.ends)} ends, ${per((10 * warp.ends) / widthMm)}`],
    ['Order of ends', `${ordered}, end 1 at the left; ${named}`],
    ['Drawn in (threading)', threadingText(warp.threading)],
    [
      'Reed',
      `${quantity(dentsPerCm, 'perLength', system).text} dents to the ${system === 'inch' ? 'inch' : 'cm'}, ${endsPerDent} ${typeof endsPerDent === 'number' ? 'in each' : 'in turn'}; ${lengthText(widthMm, system)} wide`,
    ],
    ['Tension', `${formatNumber(warp.tensionCNPerEnd)} cN an end`],
    [
      'Second beam',
      warp.secondBeam
        ? `${warp.secondBeam.ends} (1 is an end on it; begins again until the ends run out), let off ${formatNumber(warp.secondBeam.slackPercent, 1)} % longer`
        : '',
    ],
    ['Beat', beatWords(sample, per, firmnessNeeded)],
    ['Weft laid', beat.weftArcMm ? `in an arc ${lengthText(beat.weftArcMm, system)} high` : ''],
    ['Noted', [warp.notes, loom.notes, sample.notes].filter(Boolean).join(' ')],
  ];
  return (
    <section className="plan-sheet" aria-label="The loom">
      <dl className="warp-words">
        {lines
          .filter(([, words]) => words !== '')
          .flatMap(([name, words]) => [<dt key={name}>{name}</dt>, <dd key={`${name} is`}>{words}</dd>])}
        {(loom.knownFaults ?? []).flatMap(({ note, shaft, treadle, end }, k) => [
          <dt key={`fault ${k}`}>Mind</dt>,
          <dd key={`fault ${k} is`}>
            {`${shaft ? `shaft ${shaft}` : treadle ? `treadle ${treadle}` : end ? `heald of end ${end}` : 'the loom'}: ${note}`}
          </dd>,
        ])}
      </dl>
    </section>
  );
}

/** The beat, or the picks wanted and, once that is known, the beat that they need. */
function beatWords(sample: Sample, per: (perCm: number) => string, firmnessNeeded: number | undefined): string {
  const { firmness, fixedPicksPerCm } = sample.beat;
  if (fixedPicksPerCm === undefined) return `${formatNumber(100 * firmness)} % of the firmest`;
  const wanted = `picks wanted: ${per(fixedPicksPerCm)}`;
  if (firmnessNeeded === undefined) return wanted;
  const needed = beatNeeded(sample, firmnessNeeded);
  const some =
    needed.hardest > 1 && needed.firmness <= 1
      ? '; for picks beaten firmer, more than an arm on a hand loom gives'
      : '';
  return `${wanted}; they need ${beatNeededWords(needed.firmness)}${some}`;
}
