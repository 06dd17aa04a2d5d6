import { ColorArea } from 'react-aria-components/ColorArea';
import { ColorPicker, parseColor } from 'react-aria-components/ColorPicker';
import { ColorSlider, SliderTrack } from 'react-aria-components/ColorSlider';
import { ColorThumb } from 'react-aria-components/ColorThumb';
import { Label } from 'react-aria-components/Label';
import type { ColourWayProps } from './colourWay.ts';

/** The colour set beside the cone until both look alike. */
export function ByEye({ value, onChange }: ColourWayProps) {
  return (
    <ColorPicker value={parseColor(value)} onChange={(colour) => onChange(colour.toString('hex'), true)}>
      <div className="colour-by-eye">
        <ColorArea colorSpace="hsb" xChannel="saturation" yChannel="brightness" className="colour-area">
          <ColorThumb className="colour-thumb" />
        </ColorArea>
        <ColorSlider colorSpace="hsb" channel="hue" className="colour-slider">
          <Label>Hue</Label>
          <SliderTrack className="colour-track">
            <ColorThumb className="colour-thumb" />
          </SliderTrack>
        </ColorSlider>
      </div>
    </ColorPicker>
  );
}
