import { type FormEvent, useMemo, useState } from 'react';
import { useStore } from 'zustand';
import { NumberField } from '#app/after/NumberField.tsx';
import { ModalDialog } from '#app/dialog/ModalDialog.tsx';
import { extentOf } from '#app/model/clothPose.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { curledStill } from '#app/still/curledStill.ts';
import { drawnCurlWords } from '#app/still/curlWords.ts';
import { drapedStill } from '#app/still/drapedStill.ts';
import { sheetRefusal } from '#app/still/sheetPlan.ts';
import { Choice } from '#app/table/Choice.tsx';
import { formatNumber } from '#app/words/numbers.ts';
import { versionOnTable } from '#document/sameSample.ts';
import {
  isBent,
  isTraced,
  LEAST_DPI,
  LEAST_EDGE_MM,
  MOST_DPI,
  MOST_EDGE_MM,
  pictureFileName,
  planPicture,
  SAMPLE_STEPS,
  samplesOf,
  usualPicture,
} from './pictureAsked.ts';
import { dotsWords, fineness, grainWords, pixelWords, sizeWords } from './pictureWords.ts';

/** What was asked for last, for as long as the page is open. */
let lastAsked = usualPicture;

/** A radius that differs by less is the one asked for. */
const TOLD_MM = 0.05;

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
  const traced = isTraced(asked);
  const complete = settled && (traced || far !== undefined || farTrouble !== undefined);
  const draped = asked.held === 'draped';
  const problem = useMemo(() => {
    if (!draped || !beside) return onTable.resultCloth?.problem;
    const woven = sampleCloth({ ...beside.body, versions: [] });
    return woven.ok ? woven.value.problem : undefined;
  }, [draped, beside, onTable.resultCloth]);
  const over = draped && cloth && problem ? drapedStill(problem, cloth, asked.edgeMm) : undefined;
  const curled = asked.held === 'curled' && cloth ? curledStill(cloth) : undefined;
  const bent = over ?? curled;
  const plan = planPicture(asked, { pose, size }, cloth && extentOf(cloth.packed), bent);
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
    pictures.start({
      packed,
      far,
      plan,
      samples: samplesOf(asked),
      traced,
      drape: bent?.drape,
      fileName,
      system,
    });
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
              {!isBent(asked) && (
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
              )}
              <Choice
                name="Held"
                value={asked.held}
                options={[
                  ['square', 'square on'],
                  ['asNow', 'turned as on the table'],
                  ['draped', 'draped over an edge'],
                  ['curled', 'let go, as it curls'],
                ]}
                onChoose={(held) => change({ held })}
              />
              {draped && (
                <NumberField
                  name="Radius, mm"
                  value={asked.edgeMm}
                  least={LEAST_EDGE_MM}
                  most={MOST_EDGE_MM}
                  onChange={(edgeMm) => change({ edgeMm })}
                />
              )}
              {!isBent(asked) && (
                <>
                  <Choice
                    name="Part"
                    value={asked.part}
                    options={[
                      ['whole', 'the whole cloth'],
                      ['inView', 'what the table shows'],
                    ]}
                    onChoose={(part) => change({ part })}
                  />
                  <Choice
                    name="Light"
                    value={asked.light}
                    options={[
                      ['table', 'as on the table'],
                      ['traced', 'paths traced, slow'],
                    ]}
                    onChoose={(light) => change({ light })}
                  />
                </>
              )}
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
              <label hidden={isBent(asked)}>
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
              {refusal ?? waits ?? (plan && (bent ? pixelWords(plan) : sizeWords(plan, system)))}
            </p>
            {over && over.radiusMm > asked.edgeMm + TOLD_MM && (
              <p>{`The cloth is too stiff or too thick for ${formatNumber(asked.edgeMm)} mm: it bends over ${formatNumber(over.radiusMm, 1)} mm.`}</p>
            )}
            {curled && <p>{drawnCurlWords(curled, system)}</p>}
            <p className="soft">{grainWords(asked)}</p>
            <p className="soft">{dotsWords(asked)}</p>
            <p className="soft">
              {draped
                ? 'Face out over the edge at half its length, its first picks hanging, seen from low in front, in the light of the table now; not at true size.'
                : curled
                  ? 'Let go on a table, in the light of the table now; not at true size.'
                  : 'In the light of the table now, at true size; the scale is written into the file.'}{' '}
              The cloth on the table rests while it is drawn, and follows the hand all the same.
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
