import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber, type LengthSystem, thinText } from '#app/words/numbers.ts';
import { counted, word } from '#app/words/words.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { ListedPart, ListedPass, ListedPick, ListedRound } from '#document/weavingList.ts';

/** Boxes to tick stand in groups of so many, to be counted at a glance. */
const BOXES_TOGETHER = 10;

const endWords: Readonly<Record<ListedPass['ends'], string>> = {
  selvedge: '',
  turn: 'turns there',
  interlock: 'interlocks',
  slit: 'leaves a slit',
  cut: 'cut at both ends',
  behind: 'goes on behind',
  tied: 'goes on behind, tied',
};

const tailWords: Readonly<Record<NonNullable<ListedPass['tails']>, string>> = {
  fringe: '',
  tucked: 'tucked into the next shed',
  folded: 'folded behind',
};

/** The picks in the order they are woven, from the top of the sheet down; what comes again is written once. */
export function PickList({ sample, parts }: { readonly sample: Sample; readonly parts: readonly ListedPart[] }) {
  const treadled = sample.loom.control.kind === 'treadles';
  const all = sample.picks.length;
  return (
    <section aria-label="Picks">
      <p>
        {`${counted(all, 'pick', 'picks', formatNumber)}, woven first at the top. → from the left, ← from the right; face up on the loom. ${
          treadled ? 'Treadles in one line are pressed together.' : 'The shafts named rise, all others stay.'
        }`}
      </p>
      {parts.map((part) => (
        <Part key={part.fromPick} part={part} lifts={treadled ? 'treadles' : 'shafts'} />
      ))}
    </section>
  );
}

function Part({ part, lifts }: { readonly part: ListedPart; readonly lifts: string }) {
  const { fromPick, picks, times, rounds } = part;
  const dialect = useTableState((state) => state.preferences.dialect);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const minded = picks.some((pick) => mindWords(pick) !== '');
  const to = fromPick + picks.length * times - 1;
  const span = to === fromPick ? `Pick ${formatNumber(to)}` : `Picks ${formatNumber(fromPick)}–${formatNumber(to)}`;
  return (
    <table className="plan-picks">
      <caption>
        {times > 1
          ? `${span}: ${counted(picks.length, 'pick', 'picks', formatNumber)}, ${formatNumber(times)} times`
          : span}
        {times > 1 && <Boxes times={times} />}
      </caption>
      <thead>
        <tr>
          <th scope="col">pick</th>
          <th scope="col">{lifts}</th>
          <th scope="col">{word('weft', dialect)}</th>
          {minded && <th scope="col">mind</th>}
        </tr>
      </thead>
      {rounds.map((round) => (
        <tbody key={round.fromPick}>
          {rounds.length > 1 && (
            <tr className="plan-round">
              <th scope="rowgroup" colSpan={minded ? 4 : 3}>
                {roundWords(round)}
                {round.times > 1 &&
                  Array.from({ length: times }, (_, turn) => (
                    <Boxes key={turn} times={round.times} of={times > 1 ? turn + 1 : undefined} />
                  ))}
              </th>
            </tr>
          )}
          {round.picks.map((pick, k) => (
            <tr key={round.fromPick + k}>
              <th scope="row">{formatNumber(round.fromPick + k)}</th>
              <td>{pick.lift.length === 0 ? 'none' : pick.lift.join(' ')}</td>
              <td>{pick.passes.map((pass) => passWords(pass, system)).join(', then ')}</td>
              {minded && <td>{mindWords(pick)}</td>}
            </tr>
          ))}
        </tbody>
      ))}
    </table>
  );
}

/** A box for each time; before them of which time of the part they are. */
function Boxes({ times, of }: { readonly times: number; readonly of?: number }) {
  const groups = Math.ceil(times / BOXES_TOGETHER);
  return (
    <span className="plan-boxes" aria-hidden>
      {of === undefined ? ' ' : ` ${formatNumber(of)}: `}
      {Array.from({ length: groups }, (_, group) => (
        <span key={group}>{'☐'.repeat(Math.min(BOXES_TOGETHER, times - BOXES_TOGETHER * group))} </span>
      ))}
    </span>
  );
}

/** Within a part: "4 picks, 6 times: to pick 24". */
function roundWords({ fromPick, picks, times }: ListedRound): string {
  const to = formatNumber(fromPick + picks.length * times - 1);
  const count = counted(picks.length, 'pick', 'picks', formatNumber);
  return times > 1 ? `${count}, ${formatNumber(times)} times: to pick ${to}` : `${count}, once: to pick ${to}`;
}

/** "A →", "B ← ends 5–12, cut at both ends, tails 8 mm". */
function passWords(pass: ListedPass, system: LengthSystem): string {
  const { letters, enters, span, ends } = pass;
  const across = span ? ` ends ${formatNumber(span[0])}–${formatNumber(span[1])}` : '';
  const left = endWords[ends] + (ends === 'cut' ? tailsText(pass, system) : '');
  return `${letters} ${enters === 'left' ? '→' : '←'}${across}${left === '' ? '' : `, ${left}`}`;
}

/** ", tails 8 mm folded behind"; nothing of ends cut close. */
function tailsText({ tails = 'fringe', tailMm }: ListedPass, system: LengthSystem): string {
  const words = [tailMm === undefined ? '' : thinText(tailMm, system), tailWords[tails]].filter(Boolean).join(' ');
  return words === '' ? '' : `, tails ${words}`;
}

function mindWords({ beatPercent, firmerByPercent = 0, pauseBeforeMin }: ListedPick): string {
  const by = `by ${formatNumber(Math.abs(firmerByPercent))} % of the firmest`;
  return [
    pauseBeforeMin === undefined ? '' : `after a pause of ${formatNumber(pauseBeforeMin)} min`,
    beatPercent === undefined ? '' : `beat ${formatNumber(beatPercent)} %`,
    firmerByPercent === 0 ? '' : `beat ${firmerByPercent > 0 ? 'firmer' : 'softer'} than the rest ${by}`,
  ]
    .filter(Boolean)
    .join(', ');
}
