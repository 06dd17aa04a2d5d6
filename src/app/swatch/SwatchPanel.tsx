import { HalfWayPart } from './HalfWayPart.tsx';
import { OwnSwatchPart } from './OwnSwatchPart.tsx';

/** Correcting a piece half way up, and feeding a measured swatch back into the forecast. */
export default function SwatchPanel() {
  return (
    <div className="plan-panel">
      <div className="swatch-columns">
        <HalfWayPart />
        <OwnSwatchPart />
      </div>
    </div>
  );
}
