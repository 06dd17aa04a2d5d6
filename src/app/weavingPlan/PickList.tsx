import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber, type LengthSystem, thinText } from '#app/words/numbers.ts';
import { capital, counted, word } from '#app/words/words.ts';
import { linesIn, wovenIn } from '#document/comesAgain.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { ListedAgain, ListedItem, ListedPass, ListedPick, ListedRound } from '#document/weavingList.ts';

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

/** Boxes inside rounds are drawn for no more times round than this: beyond it nobody finds the right one (chosen). */
const MOST_GROUPS = 40;

/** The picks in the order they are woven, from the top of the sheet down; what comes again is written once. */
export function PickList({
  sample,
  items,
  inFull,
  onInFull,
}: {
  readonly sample: Sample;
  readonly items: readonly ListedItem[];
  readonly inFull: boolean;
  onInFull(inFull: boolean): void;
}) {
  const treadled = sample.loom.control.kind === 'treadles';
  const all = sample.picks.length;
  return (
    <section aria-label="Picks">
      <p>
        {`${counted(all, 'pick', 'picks', formatNumber)}, woven first at the top. → from the left, ← from the right; face up on the loom. ${
          treadled ? 'Treadles in one line are pressed together.' : 'The shafts named rise, all others stay.'
        }`}
      </p>
      {(inFull || items.some(pointsBack)) && (
        <label className="plan-full">
          <input type="checkbox" checked={inFull} onChange={(event) => onInFull(event.target.checked)} />
          {' Write out in full what comes again later'}
        </label>
      )}
      {items.map((item) =>
        item.kind === 'again' ? (
          <p key={item.fromPick} className="plan-again">
            <AgainWords item={item} treadled={treadled} outer={1} />
          </p>
        ) : (
          <PickTable key={item.fromPick} item={item} treadled={treadled} />
        ),
      )}
    </section>
  );
}

function pointsBack(item: ListedItem): boolean {
  return item.kind === 'again' || (item.kind === 'round' && item.items.some(pointsBack));
}

type ListedTable = Exclude<ListedItem, ListedAgain>;

function PickTable({ item, treadled }: { readonly item: ListedTable; readonly treadled: boolean }) {
  const dialect = useTableState((state) => state.preferences.dialect);
  const minded = linesIn([item]).some(({ picks }) => picks.some((pick) => mindWords(pick) !== ''));
  return (
    <table className="plan-picks">
      <caption>
        {spanWords(item)}
        {item.kind === 'round' && (
          <>
            {`: ${roundWords(item)}`}
            <Boxes times={item.times} outer={1} />
          </>
        )}
      </caption>
      <thead>
        <tr>
          <th scope="col">pick</th>
          <th scope="col">{treadled ? 'treadles' : 'shafts'}</th>
          <th scope="col">{word('weft', dialect)}</th>
          {minded && <th scope="col">mind</th>}
        </tr>
      </thead>
      {(item.kind === 'round' ? item.items : [item]).map((each) => (
        <Rows
          key={each.fromPick}
          item={each}
          treadled={treadled}
          minded={minded}
          named={item.kind === 'round' && item.items.length > 1}
          outer={item.kind === 'round' ? item.times : 1}
          depth={0}
        />
      ))}
    </table>
  );
}

interface RowsProps {
  readonly item: ListedItem;
  readonly treadled: boolean;
  readonly minded: boolean;
  /** Whether a line above says what it is: beside others in a round. */
  readonly named: boolean;
  /** How often the rounds that hold it are woven, all in all. */
  readonly outer: number;
  /** Rounds between it and the one that the table is of. */
  readonly depth: number;
}

function Rows({ item, treadled, minded, named, outer, depth }: RowsProps) {
  const system = useTableState((state) => state.preferences.lengthSystem);
  const columns = minded ? 4 : 3;
  return (
    <>
      {(named || item.kind === 'again') && (
        <tbody>
          <tr className="plan-round">
            <th scope="rowgroup" colSpan={columns} style={{ paddingLeft: `${depth}em` }}>
              {item.kind === 'again' ? (
                <AgainWords item={item} treadled={treadled} outer={outer} />
              ) : (
                <>
                  {spanWords(item)}
                  {item.kind === 'round' && (
                    <>
                      {`: ${roundWords(item)}`}
                      <Boxes times={item.times} outer={outer} />
                    </>
                  )}
                </>
              )}
            </th>
          </tr>
        </tbody>
      )}
      {item.kind === 'lines' && (
        <tbody>
          {item.picks.map((pick, k) => (
            <tr key={item.fromPick + k}>
              <th scope="row">{formatNumber(item.fromPick + k)}</th>
              <td>{pick.lift.length === 0 ? 'none' : pick.lift.join(' ')}</td>
              <td>{pick.passes.map((pass) => passWords(pass, system)).join(', then ')}</td>
              {minded && <td>{mindWords(pick)}</td>}
            </tr>
          ))}
        </tbody>
      )}
      {item.kind === 'round' &&
        item.items.map((each) => (
          <Rows
            key={each.fromPick}
            item={each}
            treadled={treadled}
            minded={minded}
            named={item.items.length > 1}
            outer={outer * item.times}
            depth={depth + 1}
          />
        ))}
    </>
  );
}

/** "Picks 41–80: as picks 1–8, 5 times, with B in place of A", and a box for each time. */
function AgainWords({
  item,
  treadled,
  outer,
}: {
  readonly item: ListedAgain;
  readonly treadled: boolean;
  readonly outer: number;
}) {
  const { asPick, count, times, rounds } = item;
  const often = times > 1 ? `, ${formatNumber(times)} times` : '';
  // One box stands before the words, as in a list to tick off; several after them.
  const single = times === 1 && outer === 1;
  return (
    <>
      {single && <Boxes times={1} outer={1} />}
      {`${spanWords(item)}: as ${spanText(asPick, asPick + count - 1)}${often}${otherwiseWords(item, treadled)}`}
      {!single && <Boxes times={times} outer={outer} />}
      {rounds.map((round) => (
        <span key={round.fromPick} className="plan-again-round">
          {`${spanText(round.fromPick, round.fromPick + round.count - 1)}, ${formatNumber(round.times)} times`}
          <Boxes times={round.times} outer={outer * times * round.outer} />
        </span>
      ))}
    </>
  );
}

function otherwiseWords({ otherwise, count, times }: ListedAgain, treadled: boolean): string {
  switch (otherwise?.what) {
    case 'wefts':
      return `, with ${otherwise.swaps.map(([was, now]) => `${now} in place of ${was}`).join(', ')}`;
    case 'lifts':
      return `, with ${treadled ? 'treadle' : 'shaft'} ${otherwise.swap[1]} in place of ${otherwise.swap[0]}`;
    case 'sides':
      return `, ${count * times > 1 ? 'every weft' : 'the weft'} from the other side`;
    case 'beat':
      return `, ${beatWords(otherwise) || 'beaten as the rest'}`;
    default:
      return '';
  }
}

/** A box for each time, in groups; where rounds hold it, a row of boxes for each time of theirs, with its number. */
function Boxes({ times, outer }: { readonly times: number; readonly outer: number }) {
  if (outer > MOST_GROUPS) return null;
  const groups = Math.ceil(times / BOXES_TOGETHER);
  return Array.from({ length: outer }, (_, turn) => (
    <span key={turn} className="plan-boxes" aria-hidden>
      {outer > 1 ? ` ${formatNumber(turn + 1)}: ` : ' '}
      {Array.from({ length: groups }, (_each, group) => (
        <span key={group}>{'☐'.repeat(Math.min(BOXES_TOGETHER, times - BOXES_TOGETHER * group))} </span>
      ))}
    </span>
  ));
}

/** "Picks 1–24", all that an item weaves. */
function spanWords(item: ListedItem): string {
  return capital(spanText(item.fromPick, item.fromPick - 1 + wovenIn(item)));
}

function spanText(from: number, to: number): string {
  return from === to ? `pick ${formatNumber(to)}` : `picks ${formatNumber(from)}–${formatNumber(to)}`;
}

/** "4 picks, 6 times". */
function roundWords({ count, times }: ListedRound): string {
  return `${counted(count, 'pick', 'picks', formatNumber)}, ${formatNumber(times)} times`;
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

function mindWords(pick: ListedPick): string {
  const { pauseBeforeMin } = pick;
  return [pauseBeforeMin === undefined ? '' : `after a pause of ${formatNumber(pauseBeforeMin)} min`, beatWords(pick)]
    .filter(Boolean)
    .join(', ');
}

/** "beat 60 %"; nothing where the sample's own beat is meant. */
function beatWords({ beatPercent, firmerByPercent = 0 }: Pick<ListedPick, 'beatPercent' | 'firmerByPercent'>): string {
  const by = `by ${formatNumber(Math.abs(firmerByPercent))} % of the firmest`;
  if (firmerByPercent !== 0) return `beat ${firmerByPercent > 0 ? 'firmer' : 'softer'} than the rest ${by}`;
  return beatPercent === undefined ? '' : `beat ${formatNumber(beatPercent)} %`;
}
