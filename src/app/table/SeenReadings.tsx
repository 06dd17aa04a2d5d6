import { useMemo } from 'react';
import { useStore } from 'zustand';
import { blendings, distanceText } from '#app/model/distance.ts';
import { LEAST_GAP, lightnessGap } from '#app/model/lightnessGap.ts';
import { sideOf } from '#app/model/pose.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { farthestStep, towards } from '#engine/packing/far/turnColour.ts';
import { GrinMap } from './GrinMap.tsx';

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

/** Turned about the upright or tipped about the level: how far the mean colour moves, and how much warp shows. */
function TurnReading() {
  const { forecast } = useTable();
  const side = useTableState((state) => sideOf(state.pose));
  const turns = useStore(forecast.state, (state) => state.turns);
  if (!turns) return null;
  const percent = (share: number) => `${formatNumber(100 * share)} %`;
  return (
    <table className="cover turn-reading">
      <caption>{`Over the turn, ${side}, in even light`}</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">colour</th>
          <th scope="col">warp shown</th>
        </tr>
      </thead>
      <tbody>
        {turns[side].map((turn) => {
          const square = turn.steps.find(({ degrees }) => degrees === 0) ?? turn.steps[0];
          const most = farthestStep(turn);
          const widest = turn.steps.reduce((one, other) => (other.warp > one.warp ? other : one));
          const least = turn.steps.reduce((one, other) => (other.warp < one.warp ? other : one));
          const far = widest.warp - square.warp > square.warp - least.warp ? widest : least;
          return (
            <tr key={turn.about}>
              <th scope="row">{turn.about === 'upright' ? 'turned' : 'tipped'}</th>
              <td>
                {most.difference < JUST_SEEN
                  ? 'holds'
                  : `${formatNumber(most.difference)} ΔE ${directionOf(towards(square.colour, most.colour))} at ${Math.abs(most.degrees)}°`}
              </td>
              <td>{`${percent(square.warp)} to ${percent(far.warp)}`}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** CIEDE2000 below which few see a difference side by side (common practice). */
const JUST_SEEN = 1;

function directionOf(word: string): string {
  return ['lighter', 'darker', 'greyer'].includes(word) ? word : `towards ${word}`;
}

function GapReading() {
  const { forecast } = useTable();
  const dialect = useTableState((state) => state.preferences.dialect);
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const gap = useMemo(() => cloth && lightnessGap(cloth), [cloth]);
  if (!gap) return null;
  const whole = (value: number) => formatNumber(value);
  return (
    <div className="lightness-gap">
      <table className="cover">
        <caption>Lightness of the cones, L*</caption>
        <tbody>
          <tr>
            <th scope="row">warp</th>
            <td>{whole(gap.warp)}</td>
          </tr>
          <tr>
            <th scope="row">{word('weft', dialect)}</th>
            <td>{whole(gap.weft)}</td>
          </tr>
          <tr>
            <th scope="row">gap</th>
            <td className="strong">{whole(gap.gap)}</td>
          </tr>
        </tbody>
      </table>
      {gap.tooSmall && (
        <p className="gap-warning">
          {`Warp and ${word('weft', dialect)} are about alike in lightness: a pattern made by which lies uppermost will not carry. As a rule of thumb, a gap of ${LEAST_GAP} or more does.`}
        </p>
      )}
      {!gap.tooSmall && gap.gap < LEAST_GAP && (
        <p className="soft">{`Yarns within a system differ by ${whole(gap.within)}: the pattern rests on these.`}</p>
      )}
    </div>
  );
}
