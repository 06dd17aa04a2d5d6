import type { Sample } from '#document/schema/sampleSchema.ts';

/** A column for each treadle, shaft 1 lowest. */
export function TieUpTable({ sample: { loom, warp } }: { readonly sample: Sample }) {
  const sinks = loom.control.kind === 'treadles' && loom.control.action === 'sinking';
  const ties = warp.tieUp ?? [];
  const shafts = Array.from({ length: loom.shafts }, (_, k) => loom.shafts - k);
  return (
    <table className="tie-up">
      <caption>{`Tie-up: × ${sinks ? 'sinks' : 'rises'} when the treadle is pressed`}</caption>
      <tbody>
        {shafts.map((shaft) => (
          <tr key={shaft}>
            <th scope="row">{`shaft ${shaft}`}</th>
            {ties.map((tied, treadle) => (
              <td key={treadle}>{tied.includes(shaft) ? '×' : ''}</td>
            ))}
          </tr>
        ))}
        <tr>
          <th scope="row">treadle</th>
          {ties.map((_, treadle) => (
            <td key={treadle}>{treadle + 1}</td>
          ))}
        </tr>
      </tbody>
    </table>
  );
}
