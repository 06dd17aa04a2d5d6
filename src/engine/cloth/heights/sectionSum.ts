/** Steps of a profile over its reach; linear between, which errs by less than 0.3 % of the height but at the very end. */
export const PROFILE_STEPS = 64;

/**
 * Upper edge of an ellipse (semi-axes a along, b across) grown by r all round: the Minkowski sum with a disc, that is,
 * where the centre of a thread of half height r may run. Heights over b + r at PROFILE_STEPS + 1 even distances from 0
 * to the reach a + r.
 */
export function grownEllipseProfile(a: number, b: number, r: number): Float64Array {
  const profile = new Float64Array(PROFILE_STEPS + 2);
  const reach = a + r;
  let angle = Math.PI / 2;
  for (let k = 0; k < PROFILE_STEPS; k++) {
    const y = (reach * k) / PROFILE_STEPS;
    angle = angleAt(a, b, r, y, angle);
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const normal = Math.sqrt((c / a) ** 2 + (s / b) ** 2);
    profile[k] = (b * s + (r * s) / (b * normal)) / (b + r);
  }
  return profile;
}

const CLOSE = 1e-13;

/**
 * Parameter of the ellipse whose grown point lies at distance y, which falls as it rises: Newton's steps, and halving where
 * these would leave what is known to hold it, for the curve may bend sharply.
 */
function angleAt(a: number, b: number, r: number, y: number, above: number): number {
  let high = above;
  let low = 0;
  let angle = above;
  for (let step = 0; step < 60; step++) {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const normal = Math.sqrt((c / a) ** 2 + (s / b) ** 2);
    const beyond = a * c + (r * c) / (a * normal) - y;
    if (Math.abs(beyond) < CLOSE * (a + r)) break;
    if (beyond > 0) low = angle;
    else high = angle;
    const next = angle + beyond / (s * (a + r / (a * b * b * normal ** 3)));
    angle = next > low && next < high ? next : 0.5 * (low + high);
  }
  return angle;
}

/** Even places of a segment at which drawn threads are held against the sections that they cross. */
export const SAMPLES = 15;

/** Stands for "no edge here"; finite, so that sums stay numbers. */
export const NO_EDGE = -1e9;

/** Profiles of every kind of section met by every kind of thread, for one family. */
export interface SectionProfiles {
  readonly ofCrossed: Uint32Array;
  readonly ofOwn: Uint32Array;
  readonly ownKinds: number;
  readonly profiles: Float64Array[];
  /** Distance at which each profile ends, mm. */
  readonly reachMm: Float64Array;
  /** Profiles looked up at the samples of a segment of the pitch beside, for as long as pitches are alike. */
  readonly edges: Float64Array[];
  readonly edgesPitchMm: Float64Array;
}

function kinds(...keys: Float64Array[]): { index: Uint32Array; first: number[] } {
  const known = new Map<string, number>();
  const first: number[] = [];
  const index = Uint32Array.from(keys[0], (_, k) => {
    const key = keys.map((values) => values[k]).join(' ');
    let found = known.get(key);
    if (found === undefined) {
      found = first.length;
      known.set(key, found);
      first.push(k);
    }
    return found;
  });
  return { index, first };
}

/** @param own half heights of the threads that run, @param halfWidth, halfHeight sections of those that they cross */
export function sectionProfiles(own: Float64Array, halfWidth: Float64Array, halfHeight: Float64Array): SectionProfiles {
  const running = kinds(own);
  const crossed = kinds(halfWidth, halfHeight);
  const profiles = crossed.first.flatMap((c) =>
    running.first.map((o) => grownEllipseProfile(halfWidth[c], halfHeight[c], own[o])),
  );
  const reachMm = crossed.first.flatMap((c) => running.first.map((o) => halfWidth[c] + own[o]));
  return {
    ofCrossed: crossed.index,
    ofOwn: running.index,
    ownKinds: running.first.length,
    profiles,
    reachMm: Float64Array.from(reachMm),
    edges: profiles.map(() => new Float64Array(SAMPLES)),
    edgesPitchMm: new Float64Array(profiles.length),
  };
}

/** Profile of a crossed section at the samples of a segment of the given pitch, nearest first; NO_EDGE beyond its reach. */
export function edgesAt(sections: SectionProfiles, crossed: number, own: number, pitchMm: number): Float64Array {
  const kind = sections.ofCrossed[crossed] * sections.ownKinds + sections.ofOwn[own];
  const edges = sections.edges[kind];
  if (sections.edgesPitchMm[kind] === pitchMm) return edges;
  sections.edgesPitchMm[kind] = pitchMm;
  const profile = sections.profiles[kind];
  const perSample = pitchMm / (SAMPLES + 1) / sections.reachMm[kind];
  for (let n = 0; n < SAMPLES; n++) {
    const step = perSample * (n + 1) * PROFILE_STEPS;
    const whole = Math.floor(step);
    edges[n] = step < PROFILE_STEPS ? profile[whole] + (step - whole) * (profile[whole + 1] - profile[whole]) : NO_EDGE;
  }
  return edges;
}

/** Distance from a crossed section's middle beyond which a thread no longer meets it, mm. */
export function reachAt(
  { ofCrossed, ownKinds, ofOwn, reachMm }: SectionProfiles,
  crossed: number,
  own: number,
): number {
  return reachMm[ofCrossed[crossed] * ownKinds + ofOwn[own]];
}

/**
 * The same for a section whose middle lies `beyondMm` past its node, into the segment (before it, where negative).
 * @param reachMm where its sides are pressed in (see passingRoom.ts); its own where left out
 * @param out SAMPLES long
 */
export function edgesBeside(
  sections: SectionProfiles,
  crossed: number,
  own: number,
  pitchMm: number,
  beyondMm: number,
  out: Float64Array,
  reachMm = reachAt(sections, crossed, own),
): Float64Array {
  const profile = sections.profiles[sections.ofCrossed[crossed] * sections.ownKinds + sections.ofOwn[own]];
  const perMm = PROFILE_STEPS / reachMm;
  for (let n = 0; n < SAMPLES; n++) {
    const step = Math.abs(((n + 1) / (SAMPLES + 1)) * pitchMm - beyondMm) * perMm;
    const whole = Math.floor(step);
    out[n] = step < PROFILE_STEPS ? profile[whole] + (step - whole) * (profile[whole + 1] - profile[whole]) : NO_EDGE;
  }
  return out;
}
