import type { DistinctLines } from '#engine/draft/distinct.ts';
import type { CheckedCloth, Finding } from './checkTypes.ts';

/**
 * Slack that one beam takes up, mm per m of cloth: about what a cotton warp gives under weaving tension, 1 % (estimate;
 * common practice names no figure).
 */
const MOST_SLACK_MM_PER_M = 10;
/** A group of ends counts where it is at least this share of the warp, and two ends. */
const LEAST_SHARE = 0.02;

/**
 * Groups of ends that take up so differently that one beam leaves one slack and strains the other. Ends are grouped by
 * yarn and by how they move; lengths are the forecast's.
 */
export function findSecondBeam(cloth: CheckedCloth, movement: DistinctLines): Finding[] {
  const { drawdown, endYarn, endLengthFactor } = cloth;
  if (!endLengthFactor) return [];
  const groups = new Map<string, number[]>();
  for (let end = 0; end < drawdown.ends; end++) {
    const key = `${endYarn[end]} ${movement.classOf[end]}`;
    const ends = groups.get(key);
    if (ends) ends.push(end);
    else groups.set(key, [end]);
  }
  const means = [...groups.values()]
    .filter(({ length }) => length >= 2 && length >= LEAST_SHARE * drawdown.ends)
    .map((ends) => ({ ends, factor: ends.reduce((sum, end) => sum + endLengthFactor[end], 0) / ends.length }))
    .sort((a, b) => a.factor - b.factor);
  if (means.length < 2) return [];
  const least = means[0].factor;
  const slackOf = (factor: number) => 1000 * (1 - least / factor);
  const slackMmPerM = slackOf(means[means.length - 1].factor);
  if (slackMmPerM <= MOST_SLACK_MM_PER_M) return [];
  // Those that take up least hang slack while the others pull the warp forward.
  const slack = means.filter(({ factor }) => slackOf(factor) < slackMmPerM / 2).flatMap(({ ends }) => ends);
  slack.sort((a, b) => a - b);
  let to = 0;
  while (to + 1 < slack.length && slack[to + 1] === slack[to] + 1) to++;
  return [
    {
      kind: 'secondBeam',
      weight: 'look',
      slackMmPerM,
      ends: slack.length,
      count: 1,
      places: [{ fromRow: 0, toRow: drawdown.rows - 1, fromEnd: slack[0], toEnd: slack[to] }],
    },
  ];
}
