import type { ClothPose } from '#render/clothViewTypes.ts';
import { type ClothFixture, clothFixture } from './clothFixtures.ts';

export interface OracleScene {
  readonly name: string;
  readonly cloth: ClothFixture;
  readonly turn: Partial<ClothPose>;
  /** Above 1 the cloth's edges lie outside the picture. */
  readonly zoom: number;
}

const round = (widthMm: number) => ({ widthMm, heightMm: widthMm });
const twill = (row: number, end: number) => (end - row + 400) % 4 < 2;
const plain = (row: number, end: number) => ((row + end) & 1) === 0;
const satin = (row: number, end: number) => (end * 3 + row) % 8 === 0;

/** Steps of 1 and 10 by turns. */
function uneven(least: number): (k: number) => number {
  const at = [0];
  for (let k = 1; k < 64; k++) at.push(at[k - 1] + (k % 6 < 3 ? least : 10 * least));
  return (k) => at[k];
}

const oblique = { yawRad: 0.7, pitchRad: 0.45 };
const grazing = { pitchRad: 1.25, rollRad: 0.2 };

/**
 * Where threads bend more tightly than they are thick, the inside of a swept tube of triangles folds over, but it does so
 * within the tube: what is seen first is the tube's own outside all the same.
 */
export function oracleScenes(): OracleScene[] {
  const open = clothFixture({ ends: 12, rows: 11, warp: [round(0.6)], weft: [round(0.6)] });
  const closed = clothFixture({
    ends: 14,
    rows: 14,
    warp: [{ widthMm: 2, heightMm: 0.5 }],
    weft: [{ widthMm: 2, heightMm: 0.5 }],
  });
  const crowded = clothFixture({
    ends: 22,
    rows: 22,
    warp: [{ widthMm: 5, heightMm: 0.3 }],
    weft: [{ widthMm: 4.6, heightMm: 0.4 }],
    warpUp: satin,
  });
  const strips = clothFixture({
    ends: 24,
    rows: 14,
    warp: [round(0.3)],
    weft: [{ widthMm: 1.3, heightMm: 0.12, strip: true }, round(0.4)],
    rowYarn: (k) => k & 1,
    rowY: (k) => k * 1.1,
    warpUp: twill,
  });
  const partial = clothFixture({
    ends: 20,
    rows: 20,
    warp: [round(0.4)],
    weft: [round(0.5), round(0.4)],
    rowYarn: (k) => (k % 3 === 1 ? 1 : 0),
    rowY: (k) => Math.floor(k / 2),
    rowSpan: (k) => (k & 1 ? [12, 19] : [0, 9]),
    warpUp: (row, end) => twill(Math.floor(row / 2), end),
  });
  // One slow wave along each thread: 0.8 of the pitch either way, with its own slope.
  const wave = 2 * Math.PI;
  const wandering = clothFixture({
    ends: 18,
    rows: 18,
    warp: [round(0.5)],
    weft: [round(0.5)],
    warpUp: twill,
    offsets: (family, row, end) => {
      const [along, across] = family === 'warp' ? [row, end] : [end, row];
      const phase = (wave * along) / 9 + 2.1 * across;
      return [0.8 * Math.sin(phase), ((0.8 * wave) / 9) * Math.cos(phase)];
    },
  });
  const thickAndThin = clothFixture({
    ends: 16,
    rows: 14,
    warp: [round(0.35), round(0.7)],
    weft: [round(0.8), round(0.4)],
    endYarn: (k) => (k % 3 === 0 ? 1 : 0),
    rowYarn: (k) => k & 1,
    warpShare: 0.3,
    warpUp: plain,
    endX: (k) => k * 1.1,
    rowY: (k) => k * 1.2,
  });
  const changing = clothFixture({
    ends: 14,
    rows: 14,
    warp: [round(0.5)],
    weft: [round(0.6)],
    warpUp: twill,
    sections: (_family, row, end) => [1.1 + 0.3 * Math.sin(row + 2 * end), 0.9 + 0.2 * Math.cos(row - end)],
    wraps: (_family, row, end) => [0.3 * Math.sin(row * 3 + end), 0.3 * Math.cos(row + end * 2)],
  });
  const unevenPitch = clothFixture({
    ends: 18,
    rows: 18,
    warp: [round(0.25)],
    weft: [round(0.25)],
    endX: uneven(0.27),
    rowY: uneven(0.27),
    warpUp: (row, end) => (Math.floor(row / 3) + Math.floor(end / 3)) % 2 === 0,
  });
  // Rag weft that takes all the crimp: half its height over the tightest radius is 1.8.
  const crumpled = clothFixture({
    ends: 12,
    rows: 8,
    warp: [round(0.64)],
    weft: [{ widthMm: 1.6, heightMm: 1.34, strip: true }],
    endX: (k) => k * 2,
    rowY: (k) => k * 1.9,
    warpShare: 0.1,
  });
  const cord = clothFixture({
    ends: 12,
    rows: 6,
    warp: [round(0.64)],
    weft: [round(4)],
    endX: (k) => k * 2.12,
    rowY: (k) => k * 4.6,
    warpShare: 1,
  });
  // Looked at from near: the picture keeps depth to 11 bits, which for film is soon more than it is thick.
  const film = clothFixture({
    ends: 12,
    rows: 6,
    warp: [round(0.5)],
    weft: [{ widthMm: 5, heightMm: 0.06, strip: true }],
    endX: (k) => k * 2.12,
    rowY: (k) => k * 5.6,
    warpShare: 1,
  });
  return [
    { name: 'open plain, a/p 0.3, square-on', cloth: open, turn: {}, zoom: 1 },
    { name: 'open plain, a/p 0.3, oblique, back', cloth: open, turn: { ...oblique, turnedOver: true }, zoom: 1 },
    { name: 'closed plain, a/p 1, square-on', cloth: closed, turn: {}, zoom: 1.6 },
    { name: 'closed plain, a/p 1, grazing', cloth: closed, turn: grazing, zoom: 2 },
    { name: 'satin, a/p 2.5, oblique', cloth: crowded, turn: oblique, zoom: 2.6 },
    { name: 'strips and threads, square-on', cloth: strips, turn: {}, zoom: 1.3 },
    { name: 'strips and threads, oblique', cloth: strips, turn: oblique, zoom: 1.6 },
    { name: 'partial passes, oblique', cloth: partial, turn: oblique, zoom: 1.5 },
    { name: 'offsets up to 0.8 p, square-on', cloth: wandering, turn: {}, zoom: 1.2 },
    { name: 'thick and thin, back, grazing', cloth: thickAndThin, turn: { ...grazing, turnedOver: true }, zoom: 1.2 },
    { name: 'changing sections and wraps, oblique', cloth: changing, turn: oblique, zoom: 1.2 },
    { name: 'pitch uneven 1:10, oblique', cloth: unevenPitch, turn: oblique, zoom: 4 },
    { name: 'crumpled strips, square-on', cloth: crumpled, turn: {}, zoom: 1.6 },
    { name: 'crumpled strips, grazing', cloth: crumpled, turn: grazing, zoom: 2 },
    { name: 'cord 4 mm, oblique', cloth: cord, turn: oblique, zoom: 1.6 },
    { name: 'film 5 mm, oblique', cloth: film, turn: oblique, zoom: 4 },
    { name: 'film 5 mm, back, grazing', cloth: film, turn: { ...grazing, turnedOver: true }, zoom: 7 },
  ];
}
