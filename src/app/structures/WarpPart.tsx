import { useState } from 'react';
import { useStore } from 'zustand';
import { BeginButton } from '#app/begin/BeginButton.tsx';
import { WarpWords } from '#app/begin/WarpWords.tsx';
import { useTable } from '#app/model/tableContext.ts';
import { TextField } from '#app/plan/TextField.tsx';
import { setThreading, setWarpFixed } from '#document/commands/warpCommands.ts';
import { threadingText } from '#document/notation/threading.ts';

/** The warp on the table: whether it stays as it is, and how it is drawn in; and the way to another. */
export function WarpPart() {
  const { samples } = useTable();
  const warp = useStore(samples.state, (state) => state.sample.warp);
  const loom = useStore(samples.state, (state) => state.sample.loom);
  const treadled = loom.control.kind === 'treadles';
  const [trouble, setTrouble] = useState('');
  const act = (command: Parameters<typeof samples.dispatch>[0]) => {
    const refusal = samples.dispatch(command);
    setTrouble(refusal?.message ?? '');
    return refusal === null;
  };
  return (
    <fieldset>
      <legend>The warp on the table</legend>
      <p>{`${warp.name}, on ${loom.name}`}</p>
      <label>
        <input
          type="checkbox"
          checked={warp.fixed === true}
          onChange={(event) => act(setWarpFixed(event.target.checked))}
        />{' '}
        is on the loom: yarns, sett and threading stay
      </label>
      <TextField
        name="Drawn in (threading)"
        value={threadingText(warp.threading)}
        disabled={warp.fixed}
        wide
        onTake={(text) => act(setThreading(text))}
      />
      <p className={trouble ? 'trouble' : 'soft'} role="status">
        {trouble ||
          (warp.fixed
            ? 'Planning a warp to come? Take the tick away, and structures and blocks may thread it.'
            : `Such as 1-8, point 8, or 1-4 x6, 5-8 x6 for two blocks; it begins again until the ends run out. The ${treadled ? 'treadling stays' : 'lifts stay'}.`)}
      </p>
      <WarpWords on={{ loom, warp }} draw={false} />
      <BeginButton words="Begin on another warp…" />
    </fieldset>
  );
}
