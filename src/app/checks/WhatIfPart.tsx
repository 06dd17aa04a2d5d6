import { useEffect, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { distanceText } from '#app/model/distance.ts';
import { MOST_BESIDE } from '#app/model/panes.ts';
import { type SampleCloth, sampleCloth } from '#app/model/sampleCloth.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { Choice } from '#app/table/Choice.tsx';
import type { LengthSystem } from '#app/words/numbers.ts';
import { liftLimit } from '#document/check/checkSample.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { keepWhatIf, picksBack, sampleWithFault, type WhatIf, whatIfName } from '#document/whatIf.ts';
import { linearFromHex, meanLinear } from '#engine/colour/colour.ts';
import type { Noticed } from '#engine/weave/faults/noticedFrom.ts';
import { eyeSpreadMm } from '#render/eyeSpread.ts';
import type { CheckClient } from '#workers/checkClient.ts';
import type { FlatClothSent } from '#workers/checkProtocol.ts';
import { rowOfPick } from './checkedSample.ts';
import { lookAtPlace } from './goToPlace.ts';

type Kind = WhatIf['kind'];

const kinds: readonly (readonly [Kind, string])[] = [
  ['skippedEnd', 'an end skipped in one lift'],
  ['wrongLift', 'a wrong lift'],
  ['pickLeftOut', 'a pick left out'],
  ['pickDoubled', 'a pick woven twice'],
  ['wrongLayer', 'the weft in the wrong layer'],
  ['crossedEnds', 'two ends crossed in the threading'],
  ['brokenEnd', 'a broken end'],
  ['sharedDent', 'an end in its neighbour’s dent'],
];
const ofPick: readonly Kind[] = ['skippedEnd', 'wrongLift', 'pickLeftOut', 'pickDoubled', 'wrongLayer', 'brokenEnd'];
const ofEnd: readonly Kind[] = ['skippedEnd', 'crossedEnds', 'brokenEnd', 'sharedDent'];

/** Threads on either side of a fault that are marked with it. */
const AROUND = 2;

/** Chooses a fault and a place, weaves it beside the sample, and says from where it is seen and what it costs to mend. */
export function WhatIfPart({ client }: { readonly client: CheckClient }) {
  const table = useTable();
  const { samples, ui, forecast } = table;
  const sample = useStore(samples.state, (state) => state.sample);
  const picksPerCm = useStore(forecast.state, (state) => state.result?.readings.picksPerCm.value);
  const cursorPick = useTableState((state) => state.cursorPick);
  const cursorEnd = useTableState((state) => state.cursorEnd);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const [kind, setKind] = useState<Kind>('skippedEnd');
  const [typedPick, setPick] = useState<number>();
  const [typedEnd, setEnd] = useState<number>();
  const [number, setNumber] = useState(1);
  const [noticed, setNoticed] = useState<{
    readonly fault: WhatIf;
    readonly sample: Sample;
    readonly noticed: Noticed;
  }>();
  const { most, thing } = liftLimit(sample);
  const pick = Math.min(typedPick ?? cursorPick + 1, sample.picks.length);
  const end = Math.min(typedEnd ?? cursorEnd + 1, sample.warp.ends);
  const shaft = Math.min(number, most);
  const fault = useMemo(() => faultOf(kind, pick, end, shaft), [kind, pick, end, shaft]);
  const trouble = useMemo(() => {
    const body = sampleWithFault(sample, fault);
    return 'message' in body ? body.message : '';
  }, [sample, fault]);

  // Words about an earlier fault or cloth are not this one's.
  const told = noticed && noticed.sample === sample && sameFault(noticed.fault, fault) ? noticed.noticed : undefined;

  useEffect(() => {
    if (noticed && noticed.sample !== sample) setNoticed(undefined);
  }, [sample, noticed]);

  function weave() {
    const refusal = samples.dispatch(keepWhatIf(fault));
    if (refusal) {
      ui.getState().say(refusal.message);
      return;
    }
    const name = whatIfName(fault, thing);
    const { beside } = ui.getState();
    ui.getState().showBeside([name, ...beside.filter((other) => other !== name)].slice(0, MOST_BESIDE - 1));
    ui.getState().show('kept');
    ui.getState().say(`${name} is drawn beside the sample, at the mark. Undo or discard takes it away.`);
    showPlace();
    void reckon();
  }

  /** Where it lies, rows and ends from 0: a fault of a whole row or end in the middle of it. */
  const placeIn = ({ problem }: SampleCloth) => ({
    row: rowOfPick(problem, ofPick.includes(kind) ? pick - 1 : Math.floor(sample.picks.length / 2)),
    end: ofEnd.includes(kind) ? end - 1 : Math.floor(problem.ends / 2),
  });

  /** One wrong crossing is not found from afar: every pane is brought there, and the place marked. */
  function showPlace() {
    const { resultCloth } = forecast.state.getState();
    if (!resultCloth) return;
    const { row, end: at } = placeIn(resultCloth);
    const around = (place: number) => [Math.max(0, place - AROUND), place + AROUND] as const;
    const [[fromRow, toRow], [fromEnd, toEnd]] = [around(row), around(at)];
    lookAtPlace(table, { fromRow, toRow, fromEnd, toEnd });
  }

  async function reckon() {
    const now = samples.state.getState().sample;
    const withFault = sampleWithFault(now, fault);
    if ('message' in withFault || picksPerCm === undefined) return;
    const [right, faulty] = [sampleCloth(now), sampleCloth({ ...withFault, versions: [] })];
    if (!right.ok || !faulty.ok) return;
    const answer = await client.ask({
      kind: 'notice',
      right: flatSent(right.value, picksPerCm),
      faulty: flatSent(faulty.value, picksPerCm),
      place: placeIn(right.value),
      spreadPerMm: eyeSpreadMm(1),
    });
    setNoticed({ fault, sample: now, noticed: answer });
  }

  return (
    <fieldset>
      <legend>What if</legend>
      <Choice<Kind> name="Fault" value={kind} options={kinds} onChoose={setKind} />
      {ofPick.includes(kind) && (
        <NumberField
          name={kind === 'brokenEnd' ? 'From pick' : 'Pick'}
          value={pick}
          least={1}
          most={sample.picks.length}
          onChange={(value) => setPick(value === undefined ? undefined : Math.round(value))}
        />
      )}
      {ofEnd.includes(kind) && (
        <NumberField
          name={kind === 'crossedEnds' ? 'This end and the next' : 'End'}
          value={end}
          least={1}
          most={sample.warp.ends}
          onChange={(value) => setEnd(value === undefined ? undefined : Math.round(value))}
        />
      )}
      {kind === 'wrongLift' && (
        <NumberField
          name={thing === 'shaft' ? 'Shaft' : 'Treadle'}
          value={number}
          least={1}
          most={most}
          onChange={(value) => setNumber(Math.round(value ?? 1))}
        />
      )}
      <button type="button" disabled={trouble !== ''} onClick={weave}>
        Weave it beside
      </button>
      <p className={trouble ? 'trouble' : 'soft'} role="status">
        {trouble ||
          [told && noticedWords(told, system), backWords(fault, sample.picks.length)].filter(Boolean).join(' ')}
      </p>
    </fieldset>
  );
}

function faultOf(kind: Kind, pick: number, end: number, number: number): WhatIf {
  switch (kind) {
    case 'skippedEnd':
      return { kind, pick, end };
    case 'wrongLift':
      return { kind, pick, number };
    case 'pickLeftOut':
    case 'pickDoubled':
    case 'wrongLayer':
      return { kind, pick };
    case 'crossedEnds':
    case 'sharedDent':
      return { kind, end };
    case 'brokenEnd':
      return { kind, end, fromPick: pick };
  }
}

function sameFault(one: WhatIf, other: WhatIf): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

function flatSent({ problem, coloursOf, widthMmOf }: SampleCloth, picksPerCm: number): FlatClothSent {
  const { rowPick, rows } = problem;
  const rowYMm = new Float64Array(rows);
  // Rows of one pick lie a little apart, in the order in which they were laid.
  let within = 0;
  for (let row = 0; row < rows; row++) {
    within = row > 0 && rowPick[row] === rowPick[row - 1] ? within + 1 : 0;
    rowYMm[row] = (10 / picksPerCm) * (rowPick[row] - rowPick[0] + 0.01 * within);
  }
  return {
    drawdown: problem.drawdown,
    endYarn: problem.endYarn,
    rowYarn: problem.rowYarn,
    colours: coloursOf.map((colours) => meanLinear(colours.map(linearFromHex))),
    widthsMm: widthMmOf,
    endXMm: problem.endXMm,
    rowYMm,
  };
}

/** "Noticed from 2.4 m on the back, from 1.1 m on the face." */
function noticedWords({ faceMm, backMm }: Noticed, system: LengthSystem): string {
  const seen = [
    ['face', faceMm],
    ['back', backMm],
  ] as const;
  const sides = seen.filter(([, mm]) => mm > 0).sort(([, a], [, b]) => b - a);
  if (sides.length === 0)
    return 'By its colour it is hardly noticed from anywhere; look for it close by, in raking light.';
  const [first, second] = sides.map(
    ([side, mm]) => `${distanceText(Number(mm.toPrecision(2)), system)} on the ${side}`,
  );
  return second ? `Noticed from ${first}, from ${second}.` : `Noticed from ${first}; hardly on the other side.`;
}

function backWords(fault: WhatIf, picks: number): string {
  const back = picksBack(fault, picks);
  if (fault.kind === 'crossedEnds' || fault.kind === 'sharedDent') {
    return `It is there from the first pick on: all ${back} are taken back to mend it, or it stays.`;
  }
  return `Seen at the end, ${back === 1 ? '1 pick is' : `${back} picks are`} taken back to mend it.`;
}
