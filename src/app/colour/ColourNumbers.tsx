import { useState } from 'react';
import { type LabWhite, labFromHex, lchFromHex, readLab, readLch } from '#engine/colour/colourNumbers.ts';
import { ConeColourField } from './ConeColourField.tsx';
import type { ColourWayProps } from './colourWay.ts';

const words = (numbers: readonly number[]) =>
  numbers.map((number) => (Math.abs(number) < 0.05 ? 0 : number).toFixed(1)).join(' ');

/** The colour as a measuring instrument or a standard gives it. */
export function ColourNumbers({ value, onChange }: ColourWayProps) {
  const [white, setWhite] = useState<LabWhite>('D65');
  const take = (hex: string) => onChange(hex, false);
  return (
    <div className="colour-numbers">
      <label>
        White
        <select value={white} onChange={(event) => setWhite(event.target.value === 'D50' ? 'D50' : 'D65')}>
          <option value="D65">D65, 2° observer (screens)</option>
          <option value="D50">D50, 2° observer (print)</option>
        </select>
      </label>
      <ConeColourField
        key={`Lab ${white}`}
        label="CIE L* a* b*"
        hex={value.toLowerCase()}
        value={words(labFromHex(value, white))}
        read={(text) => readLab(text, white)}
        onChange={take}
      />
      <ConeColourField
        key={`LCh ${white}`}
        label="CIE L* C* h"
        hex={value.toLowerCase()}
        value={words(lchFromHex(value, white))}
        read={(text) => readLch(text, white)}
        onChange={take}
      />
      <p className="soft">
        The sRGB code stands above. Many textile instruments report the 10° observer: set yours to 2°, or expect a small
        difference.
      </p>
    </div>
  );
}
