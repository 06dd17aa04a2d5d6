import { useMemo } from 'react';
import { useStore } from 'zustand';
import { greyed, greyName } from '#app/model/greyed.ts';
import { LEAST_GAP, lightnessGap } from '#app/model/lightnessGap.ts';
import { sideOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';

/** More pairs than these are a list that nobody reads. */
const MOST_PAIRS = 2;

/** Whether light and dark carry the pattern, and whether the colours survive being woven together. */
export function GapReading() {
  const { forecast } = useTable();
  const dialect = useTableState((state) => state.preferences.dialect);
  const side = useTableState((state) => sideOf(state.pose));
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const turns = useStore(forecast.state, (state) => state.turns);
  const gap = useMemo(() => cloth && lightnessGap(cloth), [cloth]);
  const grey = useMemo(() => cloth && turns && greyed(cloth, turns[side]), [cloth, turns, side]);
  if (!gap || !cloth) return null;
  const weft = word('weft', dialect);
  return (
    <div className="lightness-gap">
      <table className="cover">
        <caption>Lightness of the cones, black 0, white 100</caption>
        <tbody>
          <tr>
            <th scope="row">warp</th>
            <td>{rangeText(gap.warpRange)}</td>
          </tr>
          <tr>
            <th scope="row">{weft}</th>
            <td>{rangeText(gap.weftRange)}</td>
          </tr>
          <tr>
            <th scope="row">apart where they cross</th>
            <td className="strong">{rangeText(gap.apart)}</td>
          </tr>
        </tbody>
      </table>
      {gap.tooSmall && (
        <p className="gap-warning">
          {`Warp and ${weft} are about alike in lightness: a pattern made by which lies uppermost will not carry. As a rule of thumb, ${LEAST_GAP} or more apart does.`}
        </p>
      )}
      {gap.pairs.slice(0, MOST_PAIRS).map((pair) => (
        <p key={`${pair.warp} ${pair.weft}`} className="gap-warning">
          {`${cloth.namesOf[pair.weft]} over ${cloth.namesOf[pair.warp]}: only ${formatNumber(pair.gap)} apart. Where these cross, which lies uppermost will hardly be seen.`}
        </p>
      ))}
      {!gap.tooSmall && gap.gap < LEAST_GAP && (
        <p className="soft">
          {`As a whole, warp and ${weft} are alike in lightness: the pattern rests on yarns within them, which differ by ${formatNumber(gap.within)}.`}
        </p>
      )}
      {grey && (
        <p className="gap-warning">
          {`Seen from afar the ${side} is nearly ${greyName(grey.lightness)}: ${cloth.namesOf[grey.yarn]} loses its colour among the others.`}
        </p>
      )}
    </div>
  );
}

function rangeText([least, most]: readonly [number, number]): string {
  const [from, to] = [formatNumber(least), formatNumber(most)];
  return from === to ? from : `${from}–${to}`;
}
