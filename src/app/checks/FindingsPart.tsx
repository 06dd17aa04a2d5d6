import { useEffect, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { ThinField } from '#app/after/ThinField.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import { thinText } from '#app/words/numbers.ts';
import { setUse } from '#document/commands/checkCommands.ts';
import type { SampleBody, SampleUse } from '#document/schema/sampleSchema.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import type { Finding } from '#engine/weave/checks/checkTypes.ts';
import { type ClothUse, FLOAT_LIMIT_MM, USES } from '#engine/weave/checks/uses.ts';
import type { CheckClient } from '#workers/checkClient.ts';
import type { ForecastResult } from '#workers/protocol.ts';
import { checkedSample } from './checkedSample.ts';
import { findingWords, placeWords, type WordsFor } from './findingWords.ts';
import { goToPlace } from './goToPlace.ts';

const NOT_SAID = 'not said';

/** What was found, and in what. */
interface Found {
  readonly findings: readonly Finding[];
  readonly sample: SampleBody;
  readonly result: ForecastResult;
  readonly state: ClothState;
  readonly floatLimitMm: number | null;
}

/** What was found in the cloth on the table, the use it was checked for, and the way to each place. */
export function FindingsPart({ client }: { readonly client: CheckClient }) {
  const { samples, forecast, ui } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const { result, resultCloth, status } = useStore(forecast.state);
  const state = useTableState((table) => table.clothState);
  const { dialect, lengthSystem: system } = useTableState((table) => table.preferences);
  const [found, setFound] = useState<Found>();
  const [trouble, setTrouble] = useState('');
  const floatLimitMm = limitOf(sample.use);
  const settled = status === 'settled';

  useEffect(() => {
    if (!result || !resultCloth || !settled) return;
    let wanted = true;
    client.ask({ kind: 'check', cloth: checkedSample(sample, resultCloth, result, state), floatLimitMm }).then(
      (findings) => {
        if (!wanted) return;
        setFound({ findings, sample, result, state, floatLimitMm });
        setTrouble('');
      },
      (error: Error) => wanted && setTrouble(error.message),
    );
    return () => {
      wanted = false;
    };
  }, [client, sample, result, resultCloth, settled, state, floatLimitMm]);

  const words = useMemo(
    (): WordsFor => ({
      dialect,
      system,
      rowPick: resultCloth?.problem.rowPick ?? [],
      namesOf: resultCloth?.namesOf ?? [],
      floatLimitMm,
    }),
    [dialect, system, resultCloth, floatLimitMm],
  );
  const act = (use: SampleUse | null) => {
    const refusal = samples.dispatch(setUse(use));
    if (refusal) ui.getState().say(refusal.message);
  };
  const { use } = sample;
  const stale =
    !settled ||
    found?.sample !== sample ||
    found.result !== result ||
    found.state !== state ||
    found.floatLimitMm !== floatLimitMm;
  return (
    <fieldset>
      <legend>Checks</legend>
      <Choice<ClothUse | typeof NOT_SAID>
        name="For"
        value={use?.kind ?? NOT_SAID}
        options={[[NOT_SAID, NOT_SAID], ...USES.map((kind) => [kind, kind] as const)]}
        onChoose={(kind) => act(kind === NOT_SAID ? null : { kind })}
      />
      {use && (
        <ThinField
          key={use.kind}
          name="Floats, finished, up to"
          value={floatLimitMm ?? undefined}
          least={0.5}
          most={1000}
          empty="any"
          onChange={(mm) => act({ kind: use.kind, floatLimitMm: mm ?? null })}
        />
      )}
      {trouble && <p className="trouble">{trouble}</p>}
      {!found || !resultCloth ? (
        <p className="soft" role="status">
          {status === 'failed' ? 'There is no cloth to check.' : 'Checking…'}
        </p>
      ) : (
        <>
          {stale && (
            <p className="soft" role="status">
              {status === 'failed' ? 'There is no cloth to check; ' : 'Checking again: '}what follows is of the cloth as
              it was.
            </p>
          )}
          {!stale && found.findings.length === 0 && (
            <p role="status">
              Checked: nothing to mend
              {floatLimitMm !== null && `, and no float beyond ${thinText(floatLimitMm, system)}`}.
            </p>
          )}
          {found.findings.length > 0 && (
            <ul className={stale ? 'findings stale' : 'findings'} aria-label="Findings" aria-busy={stale}>
              {found.findings.map((finding) => (
                <FindingItem key={keyOf(finding)} finding={finding} words={words} />
              ))}
            </ul>
          )}
        </>
      )}
      {!use && <p className="soft">Say what it is for, and floats are held to that.</p>}
    </fieldset>
  );
}

/** Longest float that is let pass: her own, else the use's. */
function limitOf(use: SampleUse | undefined): number | null {
  if (!use) return null;
  return use.floatLimitMm === undefined ? FLOAT_LIMIT_MM[use.kind] : use.floatLimitMm;
}

function keyOf(finding: Finding): string {
  const more = [
    'system' in finding ? finding.system : '',
    'edge' in finding ? finding.edge : '',
    'of' in finding ? finding.of : '',
  ];
  return [finding.kind, finding.side ?? '', ...more].join(' ');
}

/** Told apart by shape as well as by colour and word. */
const weightMarks = { mistake: '▲', look: '◆', told: '○' } as const;
const weightWords = { mistake: 'Mend', look: 'Look', told: 'Know' } as const;

function FindingItem({ finding, words }: { readonly finding: Finding; readonly words: WordsFor }) {
  const table = useTable();
  const result = useStore(table.forecast.state, (state) => state.result);
  const [next, setNext] = useState(0);
  const at = next % finding.places.length;
  const { rows, ends } = result?.geometry ?? { rows: 0, ends: 0 };
  const where = placeWords(finding.places[at], rows, ends, words.rowPick);
  return (
    <li className={`finding ${finding.weight}`}>
      <span className="weight">
        <span aria-hidden="true">{weightMarks[finding.weight]}</span> {weightWords[finding.weight]}
      </span>{' '}
      {findingWords(finding, words)}{' '}
      {where !== '' && (
        <button
          type="button"
          onClick={() => {
            goToPlace(table, finding.places[at], finding.side);
            setNext(at + 1);
          }}
        >
          {finding.places.length > 1 ? `${at + 1} of ${finding.places.length}: ${where}` : `Go to ${where}`}
        </button>
      )}
    </li>
  );
}
