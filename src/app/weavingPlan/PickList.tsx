import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { counted, word } from '#app/words/words.ts';
import { linesIn } from '#document/comesAgain.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import type { ListedAgain, ListedItem } from '#document/weavingList.ts';
import { mindWords, otherwiseWords, passWords, roundWords, spanText, spanWords } from './pickWords.ts';

/** Boxes to tick stand in groups of so many, to be counted at a glance. */
const BOXES_TOGETHER = 10;

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
