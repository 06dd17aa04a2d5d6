import { useId } from 'react';

export interface FlatCardProps {
  readonly sidePx: number;
  /** CSS colours of the strands, as seen on the cone. */
  readonly colours: readonly string[];
  /** Width of one turn on the card, px. */
  readonly turnPx: number;
}

/** Turns finer than this would be one grey. */
const leastTurnPx = 1.6;
const marginPx = 4;

/** A wound card in plain colour: turns of the right width, without light. */
export function FlatCard({ sidePx, colours, turnPx }: FlatCardProps) {
  const patternId = useId();
  const heightPx = sidePx - 2 * marginPx;
  const widthPx = Math.min(Math.max(turnPx, leastTurnPx), heightPx);
  return (
    <svg width={sidePx} height={sidePx} aria-hidden="true">
      <defs>
        <pattern
          id={patternId}
          width={sidePx}
          height={widthPx * colours.length}
          patternUnits="userSpaceOnUse"
          y={marginPx}
        >
          {colours.map((colour, k) => (
            <g key={k}>
              <rect x={0} y={k * widthPx} width={sidePx} height={widthPx} fill={colour} />
              <rect x={0} y={(k + 0.86) * widthPx} width={sidePx} height={0.14 * widthPx} fill="#000" opacity={0.35} />
              <rect x={0} y={k * widthPx} width={sidePx} height={0.1 * widthPx} fill="#000" opacity={0.15} />
            </g>
          ))}
        </pattern>
      </defs>
      <rect x={0} y={0} width={sidePx} height={sidePx} fill="#959595" />
      <rect x={0} y={marginPx} width={sidePx} height={heightPx} fill={`url(#${patternId})`} />
    </svg>
  );
}
