import { type FormEvent, useState } from 'react';
import { useStore } from 'zustand';
import { ModalDialog } from '#app/dialog/ModalDialog.tsx';
import { extentOf } from '#app/model/clothPose.ts';
import { versionOnTable } from '#app/model/sameSample.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { sheetRefusal } from '#app/still/sheetPlan.ts';
import { Choice } from '#app/table/Choice.tsx';
import { formatNumber, type LengthSystem, quantity } from '#app/words/numbers.ts';
import { LEAST_DPI, MOST_DPI, pictureFileName, planPicture, SAMPLE_STEPS, usualPicture } from './pictureAsked.ts';

/** What was asked for last, for as long as the page is open. */
let lastAsked = usualPicture;

const fineness: Readonly<Record<number, string>> = { 4: 'quick', 16: 'good', 64: 'finest' };
/** What so many looks at each point, averaged, are good for. */
const finenessMeans: Readonly<Record<number, string>> = {
  4: 'some grain is left, as in a photograph taken in poor light',
  16: 'hardly any grain is left; enough for most pictures',
  64: 'no grain to be seen; it takes four times as long as good',
};

/** Up to so many dots an inch a picture is soon drawn. */
const QUICK_DPI = 150;

/** What the picture is to show, how large it will be, and what stands in the way. */
export default function PictureDialog() {
  const { ui, samples, forecast, kept, pictures } = useTable();
  const drawing = useStore(pictures.state, (state) => state.drawing !== undefined);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const [asked, setAsked] = useState(lastAsked);
  const [dpiText, setDpiText] = useState(String(asked.dotsPerInch));
  const [clothNumber, setClothNumber] = useState(0);
  const pose = useTableState((state) => state.pose);
  const size = useTableState((state) => state.size);
  const sample = useStore(samples.state, (state) => state.sample);
  const onTable = useStore(forecast.state);
  const cloths = useStore(kept, (state) => state.cloths).filter((cloth) => cloth.result !== undefined);
  function change(part: Partial<typeof asked>) {
    lastAsked = { ...asked, ...part };
    setAsked(lastAsked);
  }

  const beside = cloths[clothNumber - 1];
  const version = beside?.name ?? sample.versions[versionOnTable(sample)]?.name;
  const { result: cloth, far, farTrouble } = beside ?? onTable;
  const settled = beside !== undefined || onTable.status === 'settled';
  // Fine threads are drawn from afar as the table does; a cloth that cannot be seen so is walked there too.
  const complete = settled && (far !== undefined || farTrouble !== undefined);
  const plan = planPicture(asked, { pose, size }, cloth && extentOf(cloth.packed));
  const fileName = pictureFileName(sample.name, version, asked);
  const dpi = Number(dpiText);
  const dpiFits = Number.isInteger(dpi) && dpi >= LEAST_DPI && dpi <= MOST_DPI;
  const refusal = !dpiFits
    ? `Ask for a whole number of dots an inch, from ${LEAST_DPI} to ${MOST_DPI}.`
    : plan && sheetRefusal(plan);
  const waits = drawing
    ? 'A picture is being drawn: wait for it, or stop it.'
    : plan === undefined
      ? 'There is no cloth to draw yet.'
      : !settled
        ? 'Wait for the forecast…'
        : complete
          ? undefined
          : 'Wait until the cloth is worked out from afar…';

  function onSubmit(event: FormEvent<HTMLFormElement>, close: () => void) {
    event.preventDefault();
    if (!cloth || !plan || refusal || waits) return;
    const { packed } = cloth;
    pictures.start({ packed, far, plan, samples: asked.samples, fileName, system });
    close();
  }

  return (
    <ModalDialog title="Save a picture" className="picture-dialog" onClose={() => ui.getState().showPicture(false)}>
      {(close) => (
        <form className="dialog-form" onSubmit={(event) => onSubmit(event, close)}>
          <div className="dialog-body">
            <div className="picture-choices">
              {cloths.length > 0 && (
                <Choice
                  name="Cloth"
                  value={String(clothNumber)}
                  options={[['0', 'on the table'], ...cloths.map(({ name }, k) => [String(k + 1), name] as const)]}
                  onChoose={(value) => setClothNumber(Number(value))}
                />
              )}
              <Choice
                name="Side"
                value={asked.sides}
                options={[
                  ['face', 'face'],
                  ['back', 'back'],
                  ['both', 'both, beside each other'],
                ]}
                onChoose={(sides) => change({ sides })}
              />
              <Choice
                name="Held"
                value={asked.held}
                options={[
                  ['square', 'square on'],
                  ['asNow', 'turned as on the table'],
                ]}
                onChoose={(held) => change({ held })}
              />
              <Choice
                name="Part"
                value={asked.part}
                options={[
                  ['whole', 'the whole cloth'],
                  ['inView', 'what the table shows'],
                ]}
                onChoose={(part) => change({ part })}
              />
              <label>
                <span className="soft">Dots an inch</span>
                <input
                  type="number"
                  min={LEAST_DPI}
                  max={MOST_DPI}
                  step={1}
                  value={dpiText}
                  aria-describedby="picture-size"
                  onChange={(event) => {
                    setDpiText(event.target.value);
                    const wanted = Number(event.target.value);
                    if (Number.isInteger(wanted) && wanted >= LEAST_DPI && wanted <= MOST_DPI) {
                      change({ dotsPerInch: wanted });
                    }
                  }}
                />
              </label>
              <Choice
                name="Drawn"
                value={String(asked.samples)}
                options={SAMPLE_STEPS.map((samples) => [String(samples), fineness[samples]])}
                onChoose={(samples) => change({ samples: Number(samples) })}
              />
              <label>
                <input
                  type="checkbox"
                  checked={asked.ruler && asked.held === 'square'}
                  disabled={asked.held !== 'square'}
                  onChange={(event) => change({ ruler: event.target.checked })}
                />{' '}
                {`Ruler below, in ${system === 'inch' ? 'inches' : 'cm'}`}
                {asked.held !== 'square' && <span className="soft"> – true square on only</span>}
              </label>
            </div>
            <p id="picture-size" role="status" className={refusal ? 'trouble' : undefined}>
              {refusal ?? waits ?? (plan && sizeWords(plan, system))}
            </p>
            <p className="soft">
              {`Each point is looked at ${asked.samples} times and averaged: ${finenessMeans[asked.samples]}.`}
            </p>
            <p className="soft">
              {asked.dotsPerInch <= QUICK_DPI
                ? `${QUICK_DPI} dots an inch is quick, and fine enough for a screen; print asks for 300.`
                : `More than ${QUICK_DPI} dots an inch is fine enough for print; twice as many take four times as long.`}
            </p>
            <p className="soft">
              In the light of the table now, at true size; the scale is written into the file. The cloth on the table
              rests while it is drawn, and follows the hand all the same.
            </p>
          </div>
          <div className="dialog-foot">
            <button type="submit" className="strong" disabled={Boolean(refusal ?? waits)}>
              Draw and download
            </button>
            <button type="button" onClick={close}>
              Close
            </button>
            <span className="soft file-name">{fileName}</span>
          </div>
        </form>
      )}
    </ModalDialog>
  );
}

function sizeWords({ sheet, mmPerPx }: NonNullable<ReturnType<typeof planPicture>>, system: LengthSystem): string {
  const across = quantity(sheet.widthPx * mmPerPx, 'length', system);
  const up = quantity(sheet.heightPx * mmPerPx, 'length', system);
  return `${formatNumber(sheet.widthPx)} × ${formatNumber(sheet.heightPx)} px, ${across.text} × ${up.text} ${up.unit}`;
}
