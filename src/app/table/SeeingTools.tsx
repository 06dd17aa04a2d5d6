import { useStore } from 'zustand';
import { showKept } from '#app/model/beside.ts';
import {
  distanceAtStop,
  distanceStops,
  distanceText,
  distanceWords,
  showTrueSize,
  stopAtDistance,
} from '#app/model/distance.ts';
import { takeLens } from '#app/model/lens.ts';
import { chooseLight, rakeFrom, stopOrTurnLight, wantsStillness } from '#app/model/lighting.ts';
import { SHOWN, type Shown } from '#app/model/panes.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { LIGHT_NAMES, LIGHTS, RAKING_SIDES, type RakingSide } from '#render/lights.ts';
import { Choice } from './Choice.tsx';

/** How the cloth is seen, as against how it is held: which sides of it, in which light, how far off. */
export function SeeingTools() {
  return (
    <>
      <ShownTools />
      <LightTools />
      <DistanceTools />
      <LookTools />
    </>
  );
}

const shownWords: Readonly<Record<Shown, string>> = {
  one: 'one side',
  sides: 'both sides',
  split: 'split in two',
  kept: 'kept versions',
};

/** What can be shown now: versions only where some are kept. */
function ShownTools() {
  const { ui, samples } = useTable();
  const shown = useTableState((state) => state.shown);
  const sample = useStore(samples.state, (state) => state.sample);
  return (
    <fieldset className="tools seeing" aria-label="Shown">
      <Choice
        name="Show"
        value={shown}
        options={SHOWN.filter((each) => each !== 'kept' || sample.versions.length > 0).map(
          (each) => [each, shownWords[each]] as const,
        )}
        keyShown="O"
        onChoose={(next) => (next === 'kept' ? showKept(ui, sample) : ui.getState().show(next))}
      />
    </fieldset>
  );
}

const rakingWords: Readonly<Record<RakingSide, string>> = {
  left: 'left',
  right: 'right',
  above: 'above',
};

function LightTools() {
  const { ui } = useTable();
  const light = useTableState((state) => state.preferences.light);
  const rakingFrom = useTableState((state) => state.preferences.rakingFrom);
  const turning = useTableState((state) => state.lightTurning);
  return (
    <fieldset className="tools seeing" aria-label="Light">
      <Choice
        name="Light"
        value={light}
        options={LIGHT_NAMES.map((name) => [name, LIGHTS[name].title] as const)}
        keyShown="I"
        onChoose={(name) => chooseLight(ui, name)}
      />
      {light === 'raking' && (
        <Choice
          name="Lamp"
          value={rakingFrom}
          options={RAKING_SIDES.map((side) => [side, rakingWords[side]] as const)}
          onChoose={(side) => rakeFrom(ui, side)}
        />
      )}
      {light === 'turning' && (
        <button type="button" onClick={() => stopOrTurnLight(ui)}>
          {turning ? 'Stop the light' : wantsStillness() ? 'Light a step on' : 'Turn the light'}
        </button>
      )}
    </fieldset>
  );
}

/** How far off: told by the reading beside it and spoken with what blends away. */
function DistanceTools() {
  const { ui, forecast } = useTable();
  const heldAtMm = useTableState((state) => state.heldAtMm);
  const system = useTableState((state) => state.preferences.lengthSystem);
  const readings = useStore(forecast.state, (state) => state.result?.readings);
  return (
    <fieldset className="tools seeing" aria-label="Distance">
      <label>
        <span className="soft">Seen from</span>
        <input
          type="range"
          className="distance"
          min={0}
          max={distanceStops}
          step={1}
          value={stopAtDistance(heldAtMm)}
          aria-keyshortcuts="B"
          title="Stand back a step (B)"
          aria-valuetext={distanceWords(heldAtMm, readings, system)}
          onChange={(event) => {
            const mm = distanceAtStop(Number(event.target.value));
            ui.getState().holdAt(mm);
            ui.getState().say(distanceWords(mm, readings, system), { goesWith: ['distance', 'sample'] });
          }}
        />
      </label>
      <span className="distance-word">
        <output>{heldAtMm === null ? 'close up' : distanceText(heldAtMm, system)}</output> <kbd aria-hidden>B</kbd>
      </span>
      <button
        type="button"
        title="As large as it looks from there (4)"
        aria-keyshortcuts="4"
        onClick={() => showTrueSize(ui)}
      >
        True size
      </button>
    </fieldset>
  );
}

function LookTools() {
  const { ui } = useTable();
  const lightnessOnly = useTableState((state) => state.lightnessOnly);
  const lensed = useTableState((state) => state.lensAt !== undefined);
  return (
    <fieldset className="tools seeing" aria-label="Look">
      <button
        type="button"
        aria-pressed={lightnessOnly}
        aria-keyshortcuts="V"
        title="Lightness only, or colours again (V)"
        onClick={() => ui.getState().showLightness(!lightnessOnly)}
      >
        Lightness only <kbd aria-hidden>V</kbd>
      </button>
      <button
        type="button"
        title="A lens at the pointer (Z)"
        aria-pressed={lensed}
        aria-keyshortcuts="Z"
        onClick={() => takeLens(ui)}
      >
        Lens <kbd aria-hidden>Z</kbd>
      </button>
    </fieldset>
  );
}
