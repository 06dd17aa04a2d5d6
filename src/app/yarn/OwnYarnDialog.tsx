import { type FormEvent, lazy, Suspense, useId, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { ColourField } from '#app/after/ColourField.tsx';
import { ConeColourField } from '#app/colour/ConeColourField.tsx';
import { ModalDialog } from '#app/dialog/ModalDialog.tsx';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { usedColours } from '#app/model/usedColours.ts';
import { word } from '#app/words/words.ts';
import { addYarn, freeYarnId } from '#document/commands/yarnCommands.ts';
import { validate } from '#document/schema/validate.ts';
import { yarnSchema } from '#document/schema/yarnSchema.ts';
import { yarnIdFromName } from '#document/yarnId.ts';
import { ownYarn } from '#engine/yarn/ownYarn.ts';
import { meshOfKind, shapeOfKind } from '#engine/yarn/ownYarnKinds.ts';
import { withColours } from '#engine/yarn/yarnColours.ts';
import { OwnChoice, OwnField, OwnGroup } from './OwnYarnFields.tsx';
import { OwnYarnPreview, ownBrief } from './OwnYarnPreview.tsx';
import { emptyForm, formTrouble, type OwnYarnForm, readForm, usualBack, usualOver } from './ownYarnForm.ts';
import {
  gripOptions,
  hairOptions,
  hangOptions,
  kindOptions,
  otherSideOptions,
  scaleOptions,
  shineOptions,
  stretchOptions,
} from './ownYarnOptions.ts';
import { YarnColoursFields } from './YarnColoursFields.tsx';

const ColourWays = lazy(() => import('#app/colour/ColourWays.tsx'));

/** Kept while the page is open: closing the form loses nothing. */
let lastForm = emptyForm;

/** Undyed until a colour is picked. */
const noColour = '#a8a296';

/** A yarn of one's own from what can be read off it at a table. */
export default function OwnYarnDialog({ onClose }: { readonly onClose: () => void }) {
  const table = useTable();
  const { samples, ui } = table;
  const system = useTableState((state) => state.preferences.lengthSystem);
  const dialect = useTableState((state) => state.preferences.dialect);
  const sample = useStore(samples.state, (state) => state.sample);
  const stock = useStore(table.stock, (state) => state.cards);
  const used = useMemo(() => usedColours(Object.values(sample.yarns), stock ?? []), [sample.yarns, stock]);
  const [form, setForm] = useState(lastForm);
  const [picking, setPicking] = useState(false);
  const troubleId = useId();

  function change(part: Partial<OwnYarnForm>) {
    lastForm = { ...lastForm, ...part };
    setForm(lastForm);
  }

  /** The form takes any colour: nothing is refused here. */
  function take(part: Partial<OwnYarnForm>) {
    change(part);
    return undefined;
  }

  const id = freeYarnId(sample, yarnIdFromName(form.name));
  const { card, troubles } = useMemo(() => {
    const read = readForm(form, id, system);
    const { record, problems } = ownYarn(read.measured);
    const all = [...read.troubles, ...problems.map(formTrouble)];
    if (!record) return { card: undefined, troubles: all };
    const coloured = form.colours ? withColours(record, form.colours) : record;
    const checked = validate(yarnSchema, read.left ? { ...coloured, left: read.left } : coloured);
    if (checked.ok) return { card: checked.value, troubles: all };
    const beyond = checked.problems.map(({ message }) => ({ parts: [], message, stops: true }));
    return { card: undefined, troubles: [...all, ...beyond] };
  }, [form, id, system]);
  const untouched = Object.values({ ...form, scale: '', kind: '' }).every((value) => value === '');
  const told = untouched ? [] : troubles;
  const stopped = troubles.some(({ stops }) => stops);

  function onSubmit(event: FormEvent<HTMLFormElement>, close: () => void) {
    event.preventDefault();
    if (!card || stopped) return;
    const refusal = samples.dispatch(addYarn(card));
    if (refusal) {
      ui.getState().say(refusal.message);
      return;
    }
    lastForm = emptyForm;
    ui.getState().say(
      `${card.name} is on the shelf, measured by you. Drag it onto picks, or select picks and click it.`,
    );
    close();
  }

  const shared = { form, troubles, troubleId, onChange: change };
  const strip = shapeOfKind(form.kind) === 'strip';
  const holes = meshOfKind(form.kind) !== undefined;
  const lengthUnit = system === 'inch' ? 'yd' : 'm';
  return (
    <ModalDialog title="A yarn of your own" className="own-yarn-dialog" onClose={onClose}>
      {(close) => (
        <form className="dialog-form" noValidate onSubmit={(event) => onSubmit(event, close)}>
          <div className="dialog-body own-yarn">
            <div className="own-groups">
              <OwnGroup title="What it is">
                <OwnField part="name" label="Name" placeholder="net twine" {...shared} />
                <OwnField part="fibre" label="Fibre, if known" placeholder="linen" {...shared} />
                <OwnChoice part="kind" label="Looks like" options={kindOptions} wide {...shared} />
                {!strip && <OwnField part="plies" label="Plies" unit="" {...shared} />}
              </OwnGroup>
              <OwnGroup title="Weigh a length" how="The longer the better; or copy the count from its label.">
                <OwnField part="grams" label="Weight" unit="g" {...shared} />
                <OwnChoice part="scale" label="Scale shows" options={scaleOptions} {...shared} />
                <OwnField part="length" label="Length" unit={lengthUnit} {...shared} />
                <OwnField part="count" label="Count on the label" placeholder="Nm 8/2" {...shared} />
                {strip && <OwnField part="stripWidthMm" label="Width laid flat" unit="mm" {...shared} />}
                {strip && !holes && <OwnField part="gaugeMm" label="Thickness" unit="mm" {...shared} />}
                {holes && <OwnField part="holeToHoleMm" label="Hole to hole" unit="mm" {...shared} />}
                {holes && <OwnField part="strandMm" label="Strand" unit="mm" {...shared} />}
              </OwnGroup>
              <OwnGroup
                title="Wind it on a ruler"
                how="Turns side by side, touching, slack; then pushed up close with a thumbnail."
              >
                <OwnField part="turns" label="Turns, slack" unit="" {...shared} />
                {!strip && <OwnField part="turnsPressed" label="Turns, pushed close" unit="" {...shared} />}
                <OwnField
                  part="over"
                  label="Over"
                  unit={system === 'inch' ? 'in' : 'cm'}
                  placeholder={usualOver[system]}
                  {...shared}
                />
              </OwnGroup>
              <OwnGroup title="In your hand">
                <OwnChoice part="squeeze" label="Squeezed" options={gripOptions} {...shared} />
                <OwnChoice part="stretch" label="Pulled" options={stretchOptions} {...shared} />
                <OwnChoice part="stiffness" label="Over a finger" options={hangOptions} {...shared} />
                <OwnChoice part="hairiness" label="Hair" options={hairOptions} {...shared} />
                <OwnChoice part="lustre" label="Shine" options={shineOptions} {...shared} />
              </OwnGroup>
              <OwnGroup title="On the shelf now" how="All that you have of it; either will do.">
                <OwnField part="leftGrams" label="Weight in all" unit="g" {...shared} />
                <OwnField part="leftLength" label="Length in all" unit={lengthUnit} {...shared} />
              </OwnGroup>
              <OwnGroup
                title={word('Colour', dialect)}
                how="By eye, by number, or from a photograph beside a grey card."
              >
                {form.colours === '' && (
                  <div className="own-colour">
                    <ConeColourField
                      label={`${word('Colour', dialect)}, as on the cone`}
                      value={form.coneColour || noColour}
                      onChange={(coneColour) => take({ coneColour, colourFrom: '' })}
                    />
                    <button
                      type="button"
                      aria-expanded={picking}
                      onClick={() => {
                        setPicking(!picking);
                        void table.fetchStock();
                      }}
                    >
                      {`Pick the ${word('Colour', dialect).toLowerCase()}`}
                    </button>
                    {picking && (
                      <Suspense fallback={<p className="soft">Opening…</p>}>
                        <ColourWays
                          value={form.coneColour || noColour}
                          used={used}
                          onChange={(coneColour, _dragging, colourFrom = '') => take({ coneColour, colourFrom })}
                        />
                      </Suspense>
                    )}
                  </div>
                )}
                <YarnColoursFields
                  value={form.colours || { of: 'one', coneColour: form.coneColour || noColour }}
                  plies={card?.plies ?? (Number(form.plies) || 1)}
                  onChange={(colours) =>
                    take(
                      colours.of === 'one'
                        ? { colours: '', coneColour: colours.coneColour, colourFrom: '' }
                        : { colours },
                    )
                  }
                />
                {strip && <OwnChoice part="otherSide" label="Other side" options={otherSideOptions} {...shared} />}
                {strip && form.otherSide === 'own' && (
                  <>
                    <OwnChoice part="backLustre" label="Its shine" options={shineOptions} {...shared} />
                    <ColourField
                      name={`${word('Colour', dialect)} of the other side`}
                      value={form.backColour || usualBack}
                      onChange={(backColour) => change({ backColour })}
                    />
                  </>
                )}
              </OwnGroup>
            </div>
            <OwnYarnPreview card={card} />
          </div>
          <section
            className="own-troubles"
            aria-label="What does not go together"
            // Scrolls where much is told, so keys must reach it.
            tabIndex={told.length > 0 ? 0 : undefined}
          >
            <div id={troubleId} role="status">
              {told.map(({ message }) => (
                <p key={message} className="trouble">
                  {message}
                </p>
              ))}
            </div>
          </section>
          <div className="dialog-foot">
            <button type="submit" className="strong" disabled={!card || stopped}>
              Put it on the shelf
            </button>
            <button
              type="button"
              disabled={untouched}
              onClick={() => {
                lastForm = emptyForm;
                setForm(emptyForm);
              }}
            >
              Start afresh
            </button>
            <button type="button" onClick={close}>
              Close
            </button>
            {card && <span className="own-brief soft">{ownBrief(card, system)}</span>}
          </div>
        </form>
      )}
    </ModalDialog>
  );
}
