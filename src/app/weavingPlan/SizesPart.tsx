import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { SizesTable } from '#app/table/SizesTable.tsx';
import { quantity } from '#app/words/numbers.ts';
import { readingsOnLoom } from '#engine/cloth/quantities/onLoom.ts';

/** What a ruler should find on the loom and after it, with its range: where it does not, the plan is to be looked at again. */
export function SizesPart() {
  const { forecast } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  const ofThis = useStore(forecast.state, ({ asked, resultOf }) => resultOf === asked);
  const status = useStore(forecast.state, (state) => state.status);
  if (status === 'failed')
    return <p className="trouble">This cannot be woven as it is: the corner of the cloth says why.</p>;
  const stopped = status === 'stopped' && (
    <p>
      {!readings
        ? 'The forecast was stopped: sizes are left out. '
        : ofThis
          ? 'The forecast was stopped before it settled: these sizes are rough. '
          : 'The forecast was stopped: these sizes are of the cloth before. '}
      <button type="button" onClick={() => forecast.goOn()}>
        Go on
      </button>
    </p>
  );
  if (!readings) return stopped || <p className="soft">The forecast is not there yet: sizes are left out.</p>;
  const picks = quantity(readingsOnLoom(readings).picksPerCm, 'perLength', system);
  const countedOver = system === 'inch' ? 'an inch' : '2 cm';
  return (
    <div className="plan-sizes">
      {stopped || (status !== 'settled' && <p>The forecast is still under way: wait for it before you print.</p>)}
      {readings.sizes && <SizesTable sizes={readings.sizes} system={system} />}
      <p>
        {`Picks on the loom ≈ ${picks.text} ${picks.unit}. Count them over ${countedOver} as you weave, and enter them under Half way, swatch.`}
      </p>
    </div>
  );
}
