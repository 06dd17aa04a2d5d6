import { lazy, Suspense, useEffect, useId, useMemo, useRef, useState } from 'react';
import { Button } from 'react-aria-components/Button';
import { Group } from 'react-aria-components/Group';
import { Input } from 'react-aria-components/Input';
import { Label } from 'react-aria-components/Label';
import { NumberField } from 'react-aria-components/NumberField';
import { useStore } from 'zustand';
import { ConeColourField } from '#app/colour/ConeColourField.tsx';
import type { ShelfYarn } from '#app/model/shelfYarns.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { usedColours } from '#app/model/usedColours.ts';
import { quantity } from '#app/words/numbers.ts';
import { word } from '#app/words/words.ts';
import { LaidStretchField } from '#app/yarn/LaidStretchField.tsx';
import { stripWords } from '#app/yarn/stripWords.ts';
import { YarnColoursFields } from '#app/yarn/YarnColoursFields.tsx';
import { YarnLeftFields } from '#app/yarn/YarnLeftFields.tsx';
import { YarnCare, YarnPooling, YarnSources } from '#app/yarn/YarnSources.tsx';
import { renameYarn, setYarnColour, setYarnColours, setYarnCount } from '#document/commands/yarnCommands.ts';
import { labelRead } from '#engine/yarn/fibreLabel.ts';
import { coloursOfYarn } from '#engine/yarn/yarnColours.ts';
import { InView } from './InView.tsx';

const ColourWays = lazy(() => import('#app/colour/ColourWays.tsx'));

export interface YarnDetailsProps {
  readonly yarn: ShelfYarn;
  readonly onClose: () => void;
}

/** After the last movement on the colour area the drag is one undo step, ms. */
const colourRestMs = 500;

/** Count and colour of one yarn of the sample. */
export default function YarnDetails({ yarn, onClose }: YarnDetailsProps) {
  const table = useTable();
  const { samples, ui } = table;
  const dialect = useTableState((state) => state.preferences.dialect);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const restRef = useRef(0);
  const [picking, setPicking] = useState(false);
  const [labelTrouble, setLabelTrouble] = useState('');
  const troubleId = useId();
  const yarns = useStore(samples.state, (state) => state.sample.yarns);
  const stock = useStore(table.stock, (state) => state.cards);
  const used = useMemo(() => usedColours(Object.values(yarns), stock ?? []), [yarns, stock]);
  const problem = useStore(table.forecast.state, (state) => state.resultCloth?.problem);
  const lies = problem ? stripWords(yarn.card, problem, system) : '';
  const width = quantity(yarn.widthMm, 'thin', system);

  function endColourDrag() {
    window.clearTimeout(restRef.current);
    restRef.current = 0;
    samples.commit();
  }

  useEffect(
    () => () => {
      if (restRef.current !== 0) {
        window.clearTimeout(restRef.current);
        restRef.current = 0;
        samples.commit();
      }
    },
    [samples],
  );

  /** Why the colour is refused, or undefined. */
  function changeColour(hex: string, dragging: boolean, from?: string): string | undefined {
    if (hex.toLowerCase() === yarn.card.coneColour.toLowerCase()) return undefined;
    if (dragging) {
      if (restRef.current === 0) samples.begin(`dye ${yarn.name}`);
      window.clearTimeout(restRef.current);
      restRef.current = window.setTimeout(endColourDrag, colourRestMs);
    }
    const refusal = samples.dispatch(setYarnColour({ yarn: yarn.id, coneColour: hex.toLowerCase(), from }));
    if (refusal) ui.getState().say(refusal.message);
    return refusal?.message;
  }

  /** A name of her own stays whatever the count becomes; an empty one gives way to the name in force. */
  function rename(input: HTMLInputElement) {
    const name = input.value.trim();
    if (name === yarn.name) return;
    const refusal = name === '' ? undefined : samples.dispatch(renameYarn({ yarn: yarn.id, name }));
    if (refusal) ui.getState().say(refusal.message);
    if (refusal || name === '') input.value = yarn.name;
  }

  function changeTex(tex: number) {
    if (!Number.isFinite(tex) || tex === yarn.card.tex) return;
    const refusal = samples.dispatch(setYarnCount({ yarn: yarn.id, tex }));
    if (refusal) ui.getState().say(refusal.message);
  }

  function changeLabel(label: string) {
    const text = label.trim();
    if (text === '' || text === (yarn.card.count ?? '')) return;
    try {
      const { tex } = labelRead(text, yarn.card.fibre);
      const refusal = samples.dispatch(setYarnCount({ yarn: yarn.id, tex, count: text }));
      setLabelTrouble(refusal?.message ?? '');
    } catch (error) {
      setLabelTrouble(error instanceof Error ? error.message : String(error));
    }
  }

  return (
    <section className="yarn-details" aria-label={yarn.name}>
      <div className="yarn-details-head">
        <h3 title={yarn.name}>{yarn.name}</h3>
        <Button onPress={onClose}>Done</Button>
      </div>
      <label>
        Name
        <input
          type="text"
          key={yarn.name}
          defaultValue={yarn.name}
          onBlur={(event) => rename(event.target)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') rename(event.currentTarget);
          }}
        />
      </label>
      <NumberField
        value={yarn.card.tex}
        minValue={0.5}
        maxValue={100000}
        step={0.1}
        formatOptions={{ maximumFractionDigits: 1 }}
        onChange={changeTex}
      >
        <Label>Count, tex</Label>
        <Group className="number-group">
          <Button slot="decrement">−</Button>
          <Input />
          <Button slot="increment">+</Button>
        </Group>
      </NumberField>
      <label>
        Count as a label says it: Ne 8/2, Nm 28/2, 150 den
        <input
          type="text"
          key={yarn.card.count ?? ''}
          defaultValue={yarn.card.count ?? ''}
          aria-invalid={labelTrouble !== ''}
          aria-describedby={troubleId}
          onBlur={(event) => changeLabel(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') changeLabel(event.currentTarget.value);
          }}
        />
      </label>
      <p id={troubleId} className="trouble" role="status">
        {labelTrouble}
      </p>
      <p className="soft">{`about ${width.text} ${width.unit} thick in the cloth; ${yarn.card.fibre}`}</p>
      {lies !== '' && <p className="soft">{lies}</p>}
      <YarnCare card={yarn.card} />
      <YarnColoursFields
        value={coloursOfYarn(yarn.card)}
        plies={yarn.card.plies}
        printable={yarn.card.shape === 'strip'}
        onChange={(colours) => samples.dispatch(setYarnColours({ yarn: yarn.id, colours }))?.message}
      />
      <YarnPooling card={yarn.card} />
      <LaidStretchField card={yarn.card} />
      <YarnLeftFields card={yarn.card} />
      <ConeColourField
        label={`${word('Colour', dialect)}, as on the cone`}
        value={yarn.card.coneColour}
        onChange={(hex) => changeColour(hex, false)}
      />
      <button
        type="button"
        aria-expanded={picking}
        onClick={() => {
          setPicking(!picking);
          // Colours of the stock are offered as well.
          void table.fetchStock();
        }}
      >
        {`Pick the ${word('Colour', dialect).toLowerCase()}`}
      </button>
      {picking && (
        <Suspense fallback={<p className="soft">Opening…</p>}>
          <InView>
            <ColourWays value={yarn.card.coneColour} onChange={changeColour} used={used} />
          </InView>
        </Suspense>
      )}
      <YarnSources card={yarn.card} />
    </section>
  );
}
