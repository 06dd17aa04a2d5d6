import type { ClothPlace, Cutting } from '#engine/cloth/after/afterTypes.ts';
import { applyCuts, type CutCloth } from '#engine/cloth/after/applyCuts.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import { ThreadKind } from '#engine/packing/clothBufferLayout.ts';
import { packCloth } from '#engine/packing/packCloth.ts';
import { threadOwner } from '#engine/packing/threadOwner.ts';
import { ClothWalker, createWalkHit } from '#engine/packing/walk/walkCloth.ts';
import { exactly } from '#engine/units/reading.ts';
import { type ClothFixture, clothFixture } from './clothFixtures.ts';

/** Readings whose figures are round, to see what cutting makes of them. */
export const roundReadings: Readings = {
  picksPerCm: exactly(10),
  endsPerCm: exactly(10),
  widthMm: exactly(100),
  lengthMm: { value: 100, low: 90, high: 110 },
  thicknessMm: exactly(1),
  weightGPerM2: exactly(200),
  stiffnessNmm: { along: exactly(0.01), across: exactly(0.01) },
  face: { warp: 0.5, weft: 0.5, open: 0 },
  back: { warp: 0.5, weft: 0.5, open: 0 },
  warpTakeUp: exactly(0),
  weftTakeUp: exactly(0),
};

/** A fixture cut after the loom. */
export function cutFixture(cloth: ClothFixture, cuttings: readonly Cutting[]): ClothFixture & CutCloth {
  return { ...cloth, ...applyCuts(cloth.problem, cloth.geometry, roundReadings, cuttings) };
}

const yarn = { widthMm: 0.5, heightMm: 0.5 };
/** 24 × 24 threads 1 mm apart. */
const weave = (warpUp: (row: number, end: number) => boolean): ClothFixture =>
  clothFixture({ ends: 24, rows: 24, warp: [yarn], weft: [yarn], warpUp });
export const plain = () => weave((row, end) => ((row + end) & 1) === 0);
/** 1/4 sateen, move 2: wefts float over four ends on the face. */
export const sateen = () => weave((row, end) => (end + 25 * 2 - 2 * row + 500) % 5 === 0);
/** Two plain layers, threads one and one: even rows and ends above. */
export const double = () =>
  weave((row, end) => {
    const above = (end & 1) === 0;
    if ((row & 1) === 0) return above && (((row >> 1) + (end >> 1)) & 1) === 0;
    return above || (((row >> 1) + (end >> 1)) & 1) === 0;
  });

/** Thread met straight down from the face at a place: "warp 3", "weft 7", "end of warp 3" or nothing. */
export function seenFrom(cloth: ClothFixture): (x: number, y: number) => string {
  const packed = packCloth(cloth.problem, cloth.geometry, cloth.materials);
  const walker = new ClothWalker(packed);
  const hit = createWalkHit();
  return (x, y) => {
    if (!walker.walk(hit, x, y, 50, 0, 0, -1, 0, 1000)) return 'nothing';
    if (hit.kind !== ThreadKind.extra) return `${hit.kind === ThreadKind.warp ? 'warp' : 'weft'} ${hit.index}`;
    const owner = threadOwner(packed.extraTable, hit.kind, hit.index);
    return `end of ${(owner & 1) === 1 ? 'warp' : 'weft'} ${owner >> 1}`;
  };
}

export const place = (x: number, y: number): ClothPlace => ({ end: x + 1, pick: y + 1 });
export const square = (x0: number, y0: number, x1: number, y1: number) => [
  place(x0, y0),
  place(x1, y0),
  place(x1, y1),
  place(x0, y1),
];
