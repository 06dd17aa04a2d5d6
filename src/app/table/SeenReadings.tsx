import { blendings, distanceText } from '#app/model/distance.ts';
import { useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { GapReading } from './GapReading.tsx';
import { GrinMap } from './GrinMap.tsx';
import { TurnReading } from './TurnReading.tsx';

/** What the eye makes of the cloth: how far threads are told apart, and whether warp and weft differ in lightness. */
export function SeenReadings({ readings }: { readonly readings: Readings }) {
  const heldAtMm = useTableState((state) => state.heldAtMm);
  const system = useTableState((state) => state.preferences.lengthSystem);
  return (
    <>
      <table className="cover">
        <caption>
          {heldAtMm === null ? 'Threads blend' : `Threads blend; contrast left at ${distanceText(heldAtMm, system)}`}
        </caption>
        <tbody>
          {blendings(readings, heldAtMm).map(({ name, blendsAtMm, contrastLeft }) => (
            <tr key={name}>
              <th scope="row">{name.toLowerCase()}</th>
              <td>beyond {distanceText(blendsAtMm, system)}</td>
              {contrastLeft !== undefined && <td>{formatNumber(100 * contrastLeft)} %</td>}
            </tr>
          ))}
        </tbody>
      </table>
      <TurnReading />
      <GrinMap />
      <GapReading />
    </>
  );
}
