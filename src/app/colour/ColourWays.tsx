import { Tab, TabList, TabPanel, Tabs } from 'react-aria-components/Tabs';
import type { UsedColours } from '#app/model/usedColours.ts';
import { ByEye } from './ByEye.tsx';
import { ChipChart } from './ChipChart.tsx';
import { ColourNumbers } from './ColourNumbers.tsx';
import type { ColourWayProps } from './colourWay.ts';
import { PhotographWay } from './PhotographWay.tsx';

export interface ColourWaysProps extends ColourWayProps {
  readonly used: UsedColours;
}

/** Four ways to one colour of a yarn. */
export default function ColourWays({ used, ...way }: ColourWaysProps) {
  return (
    <Tabs className="colour-ways">
      <TabList aria-label="Ways to pick it" className="colour-tabs">
        <Tab id="eye">By eye</Tab>
        <Tab id="chip">Chip</Tab>
        <Tab id="number">Number</Tab>
        <Tab id="photograph">Photo</Tab>
      </TabList>
      <TabPanel id="eye">
        <ByEye {...way} />
      </TabPanel>
      <TabPanel id="chip">
        <ChipChart {...way} used={used} />
      </TabPanel>
      <TabPanel id="number">
        <ColourNumbers {...way} />
      </TabPanel>
      <TabPanel id="photograph">
        <PhotographWay {...way} />
      </TabPanel>
    </Tabs>
  );
}
