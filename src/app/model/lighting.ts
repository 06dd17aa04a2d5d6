import { formatNumber } from '#app/words/numbers.ts';
import type { ClothLight } from '#render/clothViewTypes.ts';
import {
  LIGHT_NAMES,
  LIGHTS,
  type LightName,
  type NamedLight,
  type RakingSide,
  rakingLight,
  roomLuxInFront,
  TURN_SECONDS,
  turningLight,
} from '#render/lights.ts';
import type { TableState, TableStore } from './tableState.ts';

/** Where light moves by itself only if the reader has not asked for less motion. */
export function wantsStillness(): boolean {
  return window.matchMedia('(prefers-reduced-motion: reduce)').matches;
}

/** The light as it stands now. */
export function lightOf({ preferences, lightTurn }: Pick<TableState, 'preferences' | 'lightTurn'>): ClothLight {
  return preferences.light === 'turning' ? turningLight(lightTurn) : namedLight(preferences).light;
}

/** The light chosen, its lamp where it was put. */
function namedLight({ light, rakingFrom }: Pick<TableState['preferences'], 'light' | 'rakingFrom'>): NamedLight {
  return light === 'raking' ? rakingLight(rakingFrom) : LIGHTS[light];
}

/** Puts the raking lamp to a side and says what it shows there. */
export function rakeFrom(ui: TableStore, rakingFrom: RakingSide): void {
  ui.getState().prefer({ rakingFrom });
  ui.getState().say(lightWords(namedLight(ui.getState().preferences)), { goesWith: ['light'] });
}

/** Takes a light up and says which it is, of what colour and how bright. */
export function chooseLight(ui: TableStore, name: LightName): void {
  ui.getState().prefer({ light: name });
  ui.getState().setLightTurning(name === 'turning' && !wantsStillness());
  ui.getState().say(lightWords(namedLight(ui.getState().preferences)), { goesWith: ['light'] });
}

/** The next light of the list, or the one before. */
export function stepLight(ui: TableStore, by: 1 | -1): void {
  const at = LIGHT_NAMES.indexOf(ui.getState().preferences.light);
  chooseLight(ui, LIGHT_NAMES[(at + by + LIGHT_NAMES.length) % LIGHT_NAMES.length]);
}

function lightWords(named: NamedLight): string {
  const { name, title, where, illuminant, lux } = named;
  const front = formatNumber(Number(roomLuxInFront(named).toPrecision(1)));
  const level =
    name === 'behind'
      ? `about ${formatNumber(lux)} lx from behind and ${front} lx in front`
      : `about ${formatNumber(lux)} lx`;
  return `${title}: ${where}. ${illuminant}, ${level} (common practice). White stays white, as to an eye used to it.`;
}

/** Least of a turn that a step in stillness makes. */
const stillStep = 1 / 8;

/** Stops the turning light, or sets it off; one step on where nothing should move by itself. */
export function stopOrTurnLight(ui: TableStore): void {
  const { lightTurning, lightTurn } = ui.getState();
  if (!lightTurning && wantsStillness()) ui.getState().turnLightTo((lightTurn + stillStep) % 1);
  else ui.getState().setLightTurning(!lightTurning);
}

/**
 * How much farther the light has come since the last picture, of a turn. A slow machine skips rather than lags, but
 * never by more than an eighth of a turn: a picture then still looks like the one before.
 */
export function turnSince(elapsedMs: number): number {
  return Math.min(stillStep, Math.max(0, elapsedMs) / (1000 * TURN_SECONDS));
}
