import { useStore } from 'zustand';
import { sideOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { farthestStep, type TurnStep, towards } from '#engine/packing/far/turnColour.ts';

/** How the cloth changes as it is turned sideways or tipped, in even light: its colour, and how much warp shows. */
export function TurnReading() {
  const { forecast } = useTable();
  const side = useTableState((state) => sideOf(state.pose));
  const turns = useStore(forecast.state, (state) => state.turns);
  if (!turns) return null;
  const percent = (share: number) => formatNumber(100 * share);
  return (
    <table className="cover turn-reading">
      <caption>{`As the ${side} is turned in the hand`}</caption>
      <tbody>
        {turns[side].map((turn) => {
          const square = turn.steps.find(({ degrees }) => degrees === 0) ?? turn.steps[0];
          const widest = turn.steps.reduce((one, other) => (other.warp > one.warp ? other : one));
          const least = turn.steps.reduce((one, other) => (other.warp < one.warp ? other : one));
          const far = widest.warp - square.warp > square.warp - least.warp ? widest : least;
          return (
            <tr key={turn.about}>
              <th scope="row">{turn.about === 'upright' ? 'sideways' : 'tipped'}</th>
              <td>
                {`colour ${colourWords(square, farthestStep(turn))}; `}
                <span className="soft">{`warp ${percent(square.warp)} to ${percent(far.warp)} %`}</span>
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** CIEDE2000: below the first few see a difference side by side; up to the others it is slight, then plain (common practice). */
const JUST_SEEN = 1;
const SLIGHT = 3;
const PLAIN = 6;

/** "stays", "a little lighter at 45°", "much towards green at 60°": what the colour does. */
function colourWords(square: Pick<TurnStep, 'colour'>, most: TurnStep): string {
  if (most.difference < JUST_SEEN) return 'stays';
  const much = most.difference < SLIGHT ? 'a little' : most.difference < PLAIN ? 'plainly' : 'much';
  const word = towards(square.colour, most.colour);
  const direction = ['lighter', 'darker', 'greyer'].includes(word) ? word : `towards ${word}`;
  return `${much} ${direction} at ${Math.abs(most.degrees)}°`;
}
