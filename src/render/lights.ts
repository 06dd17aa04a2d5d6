import type { ClothLight } from './clothViewTypes.ts';
import { NORTH_LIGHT, SKY_AXIS, skyOnCard } from './lightUniforms.ts';

export const LIGHT_NAMES = ['window', 'spot', 'raking', 'overcast', 'behind', 'turning'] as const;
export type LightName = (typeof LIGHT_NAMES)[number];

/**
 * A light to judge cloth in. Illuminants are named as CIE 015:2018 does (LED with its correlated colour temperature);
 * levels are common practice for such a place. The picture is as an adapted eye has it: a white matte card facing the
 * key reads 1 in each, so illuminant and level are told in words and tint nothing.
 */
export interface NamedLight {
  readonly name: LightName;
  /** As the page names it. */
  readonly title: string;
  readonly where: string;
  readonly illuminant: string;
  /** On a card facing the key. */
  readonly lux: number;
  readonly light: ClothLight;
}

const rad = (degrees: number) => (degrees * Math.PI) / 180;

/** How high the turning light stands over the cloth seen square on: low enough for relief, high enough for colour. */
const TURNING_HEIGHT_RAD = rad(38);
export const TURN_SECONDS = 12;

/** The turning light after some of its turn, 0..1 of it; from the left over the top to the right. */
export function turningLight(turn: number): ClothLight {
  const around = Math.PI - 2 * Math.PI * turn;
  const across = Math.cos(TURNING_HEIGHT_RAD);
  return {
    towards: [across * Math.cos(around), across * Math.sin(around), Math.sin(TURNING_HEIGHT_RAD)],
    halfAngleRad: 0.12,
    skyShare: 0.22,
  };
}

export const RAKING_SIDES = ['left', 'right', 'above'] as const;
/** Where the raking lamp stands as the eye sees the room: to a side, or above, where it shines along an upright warp. */
export type RakingSide = (typeof RAKING_SIDES)[number];

/** How high the raking lamp stands over the cloth seen square on: low, so that threads throw shadows. */
const RAKING_HEIGHT_RAD = rad(20);
/** A little above the level, as a lamp on a stand is: it keeps to one side of threads that run straight across. */
const RAKING_LIFT = 0.12;

const rakingTowards: Readonly<Record<RakingSide, ClothLight['towards']>> = {
  left: [-Math.cos(RAKING_HEIGHT_RAD), RAKING_LIFT, Math.sin(RAKING_HEIGHT_RAD)],
  right: [Math.cos(RAKING_HEIGHT_RAD), RAKING_LIFT, Math.sin(RAKING_HEIGHT_RAD)],
  above: [RAKING_LIFT, Math.cos(RAKING_HEIGHT_RAD), Math.sin(RAKING_HEIGHT_RAD)],
};

const rakingWhere: Readonly<Record<RakingSide, string>> = {
  left: 'a lamp low at the left side, for relief across the warp',
  right: 'a lamp low at the right side, for relief across the warp',
  above: 'a lamp low above the cloth, along the warp: relief of picks and ribs',
};

/** The raking lamp from any of its sides: the same lamp, height and level, so that relief alone differs. */
export function rakingLight(from: RakingSide): NamedLight {
  return {
    ...LIGHTS.raking,
    where: rakingWhere[from],
    light: { ...LIGHTS.raking.light, towards: rakingTowards[from] },
  };
}

export const LIGHTS: Readonly<Record<LightName, NamedLight>> = {
  window: {
    name: 'window',
    title: 'Window',
    where: 'a tall north window to the upper left',
    illuminant: 'CIE D65',
    lux: 1000,
    light: NORTH_LIGHT,
  },
  spot: {
    name: 'spot',
    title: 'Gallery spot',
    where: 'a small lamp above and in front, 30° from the upright',
    illuminant: 'LED, 3000 K',
    lux: 200,
    light: { towards: [0, Math.cos(rad(30)), Math.sin(rad(30))], halfAngleRad: 0.03, skyShare: 0.12 },
  },
  raking: {
    name: 'raking',
    title: 'Raking lamp',
    where: rakingWhere.left,
    illuminant: 'CIE A',
    lux: 500,
    light: { towards: rakingTowards.left, halfAngleRad: 0.04, skyShare: 0.1 },
  },
  overcast: {
    name: 'overcast',
    title: 'Overcast',
    where: 'light from the whole room, no lamp and no window in sight',
    illuminant: 'CIE D50',
    lux: 500,
    // No key: the card faces where the room is brightest.
    light: { towards: [SKY_AXIS[0], SKY_AXIS[1], SKY_AXIS[2]], halfAngleRad: 0.2, skyShare: 1 },
  },
  behind: {
    name: 'behind',
    title: 'Held to the window',
    where: 'the window behind the cloth, a dim room in front',
    illuminant: 'CIE D65',
    lux: 1500,
    light: { towards: [0.1, 0.25, -1], halfAngleRad: 1, skyShare: 0.05, behindCloth: true },
  },
  turning: {
    name: 'turning',
    title: 'Turning',
    where: 'a lamp going slowly round the cloth',
    illuminant: 'LED, 4000 K',
    lux: 500,
    light: turningLight(0.15),
  },
};

/** Illuminance on a card that faces the eye from the room alone, lux: what is left to see by against the window. */
export function roomLuxInFront({ light, lux }: NamedLight): number {
  return lux * light.skyShare * (skyOnCard([0, 0, 1]) / skyOnCard(light.towards));
}
