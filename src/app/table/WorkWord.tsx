import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import type { Progress } from '#engine/cloth/clothTypes.ts';

const stageWords: Record<Progress['stage'], string> = {
  spacing: 'placing the picks',
  states: 'width and length',
  heights: 'bending the yarns',
  sections: 'pressing the yarns',
  readings: 'taking the readings',
  packing: 'laying it out',
};

/** What lasts no longer is not worth a button or words that come and go, ms. */
const BRIEF_MS = 1000;

const STILL_SHOWN = '; shown until then: the cloth before';

/** A picture that takes longer than that is told to come by and by, ms. */
const SLOW_MS = 4000;

/** Work that is done sooner is not spoken of, ms. */
const SPOKEN_MS = 2000;
/** As long as its end may be read out, ms. */
const END_TOLD_MS = 6000;

/** What is being worked out just now, how far it is and what stops it, in a corner of the cloth; nothing once all is settled. */
export function WorkWord() {
  const { forecast } = useTable();
  const status = useStore(forecast.state, (state) => state.status);
  const progress = useStore(forecast.state, (state) => state.progress);
  const trouble = useStore(forecast.state, (state) => state.trouble);
  const begun = useStore(forecast.state, (state) => state.result !== undefined);
  const picture = useTableState((state) => state.picture);
  const other = useStore(forecast.state, ({ asked, resultOf }) => asked !== resultOf);
  const before = begun && other && picture !== 'lost';
  const earlier = useTableState((state) => state.pictureEarlier) || (before && status === 'working');
  const working = status === 'working' || status === 'preview';
  const drawing = !working && (picture === 'drawing' || picture === 'starting');
  const long = useLasting(working, BRIEF_MS);
  const slow = useLasting(drawing, SLOW_MS);
  // Pressed, the button stays under the finger until the work that it set going is over.
  const [wentOn, setWentOn] = useState(false);
  const stopped = status === 'stopped';
  if (wentOn && status !== 'idle' && !working && !stopped) setWentOn(false);
  const stillShown = useLasting(earlier, BRIEF_MS) && earlier ? STILL_SHOWN : '';
  if (status === 'failed' && trouble) {
    return (
      <p className="work-word trouble" role="alert">
        {`No forecast (${trouble.where}): ${trouble.why}${before ? ' Shown meanwhile: the cloth before.' : ''}`}
      </p>
    );
  }
  const words = working
    ? `Working: ${progress ? stageWords[progress.stage] : 'starting'}${begun && picture === 'drawing' && !earlier ? '; drawing' : ''}${stillShown}`
    : drawing
      ? `Drawing${earlier ? stillShown : slow ? ': coarse at first, finer by and by' : ''}`
      : stopped
        ? 'Stopped: the cloth is not settled'
        : '';
  return (
    <>
      <Spoken working={working} stopped={stopped} still={stillShown} />
      <div className="work-word">
        <p>{words}</p>
        {working && long && progress && <span aria-hidden>{`${Math.floor(100 * progress.share)} %`}</span>}
        {(stopped || (working && (long || wentOn))) && (
          <button
            type="button"
            onClick={() => {
              setWentOn(stopped);
              if (stopped) forecast.goOn();
              else forecast.stop();
            }}
          >
            {stopped ? 'Go on' : 'Stop'}
          </button>
        )}
      </div>
    </>
  );
}

/** Spoken, not seen: that work goes on for long, and its end; its steps come and go too fast to be listened to. */
function Spoken(props: { readonly working: boolean; readonly stopped: boolean; readonly still: string }) {
  const { working, stopped, still } = props;
  const lasting = useLasting(working, SPOKEN_MS) && working;
  const [ended, setEnded] = useState(false);
  useEffect(() => {
    if (!lasting) return undefined;
    setEnded(false);
    return () => setEnded(true);
  }, [lasting]);
  // Short work after it would have the same words said again.
  useEffect(() => {
    if (working) setEnded(false);
  }, [working]);
  useEffect(() => {
    if (!ended) return undefined;
    const timer = setTimeout(() => setEnded(false), END_TOLD_MS);
    return () => clearTimeout(timer);
  }, [ended]);
  return (
    <p className="out-of-sight work-spoken" role="status">
      {stopped
        ? 'Stopped: the cloth is not settled'
        : lasting
          ? `Working${still}`
          : ended && !working
            ? 'The cloth is settled'
            : ''}
    </p>
  );
}

/** Whether it has been so for longer than that, ms. */
function useLasting(on: boolean, ms: number): boolean {
  const [lasting, setLasting] = useState(false);
  useEffect(() => {
    setLasting(false);
    if (!on) return;
    const timer = setTimeout(() => setLasting(true), ms);
    return () => clearTimeout(timer);
  }, [on, ms]);
  return lasting;
}
