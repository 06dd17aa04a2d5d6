import type { ClothProblem, CurveField } from '#engine/cloth/clothTypes.ts';
import { isWarpUp } from '#engine/draft/drawdown.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';

/** A weft of fibre that no twist holds together gives way at each end and rises beside it. */
function isLoose({ shape, twistTurnsPerM, bodyHeightMm, contactHeightMm, looseFibre }: YarnBody): boolean {
  return looseFibre === true && shape === 'round' && twistTurnsPerM === 0 && bodyHeightMm > contactHeightMm;
}

/** Whether any weft is of loose fibre. */
export function hasPillows({ yarns }: ClothProblem): boolean {
  return yarns.some(isLoose);
}

/**
 * How far loose fibre rises between the ends that press it from one side, mm. Pressed to `pressedMm` it would stand at `restMm` by
 * itself (van Wyk's law gives both); a strip's pressure spreads sideways by about as much as it reaches down (the 2 : 1 rule of
 * soil mechanics, from memory), so of that the share 1 − exp(−2 room/rest) is regained over the free room to the next end.
 * @param roomMm from an end's flank to half way to the next end of its side
 */
export function pillowMm(restMm: number, pressedMm: number, roomMm: number): number {
  return Math.max(0, restMm - pressedMm) * (1 - Math.exp((-2 * Math.max(0, roomMm)) / restMm));
}

/**
 * Wefts of loose fibre as pillows: where an end presses on one side, the other side stands out between that side's ends. The
 * surface under the end stays where it is, so the middle moves by half of what the section gains. Ends then lie sunk in the fibre.
 * @param field of the wefts over the solved crossings, row-major; given back as it is where no weft is loose
 */
export function pillows(
  { drawdown, yarns, rowYarn, endYarn, rowFirst, rowLast, endXMm, ends: allEnds }: ClothProblem,
  field: CurveField,
  rows: number,
  ends: number,
): CurveField {
  const loose = yarns.map(isLoose);
  if (!loose.some(Boolean)) return field;
  const heightMm = field.heightMm.slice();
  const heightFactor = field.heightFactor.slice();
  for (let row = 0; row < rows; row++) {
    if (!loose[rowYarn[row]]) continue;
    const { contactHeightMm, bodyHeightMm } = yarns[rowYarn[row]];
    for (let end = 0; end < ends; end++) {
      // Of a repeat a row's reach says nothing.
      if (rows === drawdown.rows && (end < rowFirst[row] || end > rowLast[row])) continue;
      const k = row * ends + end;
      const next = Math.min(end + 1, allEnds - 1);
      const pitchMm = next > end ? endXMm[next] - endXMm[end] : endXMm[end] - endXMm[end - 1];
      const roomMm = pitchMm - yarns[endYarn[end]].contactWidthMm / 2;
      const gain = pillowMm(bodyHeightMm, contactHeightMm * field.heightFactor[k], roomMm);
      heightFactor[k] += gain / contactHeightMm;
      heightMm[k] += ((isWarpUp(drawdown, row, end) ? -1 : 1) * gain) / 2;
    }
  }
  return { ...field, heightMm, heightFactor };
}
