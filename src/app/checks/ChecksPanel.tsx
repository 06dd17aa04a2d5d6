import { useState } from 'react';
import { checkClient } from '#workers/checkClient.ts';
import { FindingsPart } from './FindingsPart.tsx';
import { FitPart } from './FitPart.tsx';
import { KnownFaults } from './KnownFaults.tsx';
import { WhatIfPart } from './WhatIfPart.tsx';

/** Checks of the cloth, whether a loom can weave it, and what a fault would look like. */
export default function ChecksPanel() {
  const [client] = useState(checkClient);
  return (
    <div className="plan-panel checks">
      <div className="plan-columns wide">
        <FindingsPart client={client} />
        <FitPart client={client} />
        <WhatIfPart client={client} />
        <KnownFaults />
      </div>
    </div>
  );
}
