import { useId } from 'react';

export interface WoundCardProps {
  /** CSS colours of the strands, as seen on the cone. */
  readonly colours: readonly string[];
  /** Width of one turn on the card, mm. */
  readonly turnMm: number;
}

const widthPx = 44;
const heightPx = 44;
/** Twice life size on a screen of 96 px to the inch, so that fine yarns still show their turns. */
const pxPerMm = (2 * 96) / 25.4;
const leastTurnPx = 1.6;

/** Yarn wound round a card, turn beside turn, at twice its size: thick yarns look thick beside fine ones. */
export function WoundCard({ colours, turnMm }: WoundCardProps) {
  const patternId = useId();
  const turnPx = Math.min(Math.max(turnMm * pxPerMm, leastTurnPx), heightPx - 6);
  const repeatPx = turnPx * colours.length;
  return (
    <svg className="wound-card" width={widthPx} height={heightPx} aria-hidden="true">
      <defs>
        <pattern id={patternId} width={widthPx} height={repeatPx} patternUnits="userSpaceOnUse" y={3}>
          {colours.map((colour, k) => (
            <g key={k}>
              <rect x={0} y={k * turnPx} width={widthPx} height={turnPx} fill={colour} />
              <rect x={0} y={(k + 0.86) * turnPx} width={widthPx} height={0.14 * turnPx} fill="#000" opacity={0.35} />
              <rect x={0} y={k * turnPx} width={widthPx} height={0.1 * turnPx} fill="#000" opacity={0.15} />
            </g>
          ))}
        </pattern>
      </defs>
      <rect x={0} y={0} width={widthPx} height={heightPx} className="wound-card-board" />
      <rect x={5} y={3} width={widthPx - 10} height={heightPx - 6} fill={`url(#${patternId})`} />
    </svg>
  );
}
