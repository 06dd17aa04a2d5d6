import { useMemo, useState } from 'react';
import { ListBox, ListBoxItem } from 'react-aria-components/ListBox';
import type { UsedColours } from '#app/model/usedColours.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { CHIP_CHROMA_STEP, CHIP_LIGHTNESS_STEP, chipsOfHue } from '#engine/colour/chips.ts';
import { lchFromHex } from '#engine/colour/colourNumbers.ts';
import type { ColourWayProps } from './colourWay.ts';

export interface ChipChartProps extends ColourWayProps {
  readonly used: UsedColours;
}

const hueStep = 15;

/** Colours of this sample's yarns by name, those of the stock, and a chart of one hue from light to dark and grey to vivid; arrows move, Enter takes. */
export function ChipChart({ value, onChange, used }: ChipChartProps) {
  const [hue, setHue] = useState(() => (Math.round(lchFromHex(value)[2] / hueStep) * hueStep) % 360);
  const chips = useMemo(() => chipsOfHue(hue), [hue]);
  const take = (keys: 'all' | Set<string | number>) => {
    const [hex] = keys === 'all' ? [] : keys;
    if (typeof hex === 'string' && hex !== value) onChange(hex, false);
  };
  return (
    <div className="chip-chart">
      <h4>In this sample</h4>
      <ListBox
        aria-label="Colours in this sample"
        className="named-chips"
        items={used.sample}
        selectionMode="single"
        disallowEmptySelection
        selectedKeys={[value]}
        onSelectionChange={take}
      >
        {({ hex, names }) => (
          <ListBoxItem id={hex} textValue={names} aria-label={`${names}, ${hex}`} className="named-chip">
            <span className="chip-swatch" style={{ background: hex }} />
            {names}
          </ListBoxItem>
        )}
      </ListBox>
      {used.stock.length > 0 && <h4>In stock</h4>}
      <ListBox
        aria-label="Colours in stock"
        className="chips used-chips"
        layout="grid"
        items={used.stock}
        selectionMode="single"
        disallowEmptySelection
        selectedKeys={[value]}
        onSelectionChange={take}
      >
        {({ hex, names }) => (
          <ListBoxItem
            id={hex}
            textValue={names}
            aria-label={`${names}, ${hex}`}
            className="chip"
            style={{ background: hex }}
          />
        )}
      </ListBox>
      <label className="chip-hue">
        Hue of the chart: {hue}°
        <input
          type="range"
          min={0}
          max={360 - hueStep}
          step={hueStep}
          value={hue}
          onChange={(event) => setHue(Number(event.target.value))}
        />
      </label>
      <ListBox
        aria-label={`Chips of hue ${hue} degrees, light above, vivid to the right`}
        className="chips hue-chips"
        layout="grid"
        items={chips}
        dependencies={[value]}
        selectionMode="single"
        disallowEmptySelection
        selectedKeys={[value]}
        onSelectionChange={take}
      >
        {({ hex, lch: [l, c] }) => (
          <ListBoxItem
            id={hex}
            textValue={hex}
            aria-label={`L* ${l}, C* ${c}, ${hex}`}
            className="chip"
            style={{
              background: hex,
              gridColumn: 1 + c / CHIP_CHROMA_STEP,
              gridRow: (100 - l) / CHIP_LIGHTNESS_STEP,
            }}
          />
        )}
      </ListBox>
      <p className="soft">
        {`CIE LCh, D65: each row ${formatNumber(CHIP_LIGHTNESS_STEP)} of L* darker, each column ${formatNumber(CHIP_CHROMA_STEP)} of C* more vivid. A screen's own limits leave the gaps.`}
      </p>
    </div>
  );
}
