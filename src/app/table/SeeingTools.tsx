import { chooseLight, stopOrTurnLight, wantsStillness } from '#app/model/lighting.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { LIGHT_NAMES, LIGHTS } from '#render/lights.ts';

/** How the cloth is seen, as against how it is held: in which light. */
export function SeeingTools() {
  return <LightTools />;
}

function LightTools() {
  const { ui } = useTable();
  const light = useTableState((state) => state.preferences.light);
  const turning = useTableState((state) => state.lightTurning);
  return (
    <fieldset className="tools seeing" aria-label="Light">
      <label>
        <span className="soft">Light</span>
        <select
          value={light}
          aria-keyshortcuts="I"
          onChange={(event) => {
            const name = LIGHT_NAMES.find((known) => known === event.target.value);
            if (name) chooseLight(ui, name);
          }}
        >
          {LIGHT_NAMES.map((name) => (
            <option key={name} value={name}>
              {LIGHTS[name].title}
            </option>
          ))}
        </select>
        <kbd>I</kbd>
      </label>
      {light === 'turning' && (
        <button type="button" onClick={() => stopOrTurnLight(ui)}>
          {turning ? 'Stop the light' : wantsStillness() ? 'Light a step on' : 'Turn the light'}
        </button>
      )}
    </fieldset>
  );
}
