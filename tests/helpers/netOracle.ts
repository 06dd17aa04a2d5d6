import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import type { MeshParts } from './tubeOracle.ts';

/** How far a layer of net may lie askew and slip, and where each thread's begins (walk/intersectMesh.ts). */
const SLANT = 0.15;
const SHIFT = 0.5;
const STEP = 0.618034;

/** A net laid flat, from how it is made: how wide a hole is between flats, how wide a bar. */
export interface FlatNet {
  readonly pitchMm: number;
  readonly barMm: number;
  /** The thread whose strip it is (row * 2, or end * 2 + 1), which tells how it lies. */
  readonly owner: number;
  /** Height of its one layer. */
  readonly zMm: number;
  readonly halfWidthMm: number;
  /** Half the strip's width: it lies as its right edge does. */
  readonly edgeMm: number;
  readonly halfLengthMm: number;
}

/**
 * Bars as rectangles, one along each side of each hexagon of a honeycomb, drawn by the rasteriser: shares with the walk
 * only where the strip's net happens to lie (three hashed numbers), and neither its search for the nearest hole nor its
 * distance from the nearest bar. Three bars meet in each corner and leave no notch there.
 */
export function netBars(net: FlatNet): MeshParts {
  const words = hash3(new Uint32Array(3), net.owner, 0, 89);
  const [shiftAlong, shiftAside, turn] = [
    net.pitchMm * (((STEP * net.owner) % 1) + SHIFT * unitFromHash(words[0])),
    53 * unitFromHash(words[1]) - net.edgeMm,
    unitFromHash(words[2]),
  ];
  const angle = Math.atan(SLANT * (turn - 0.5));
  const parts: MeshParts = { position: [], owner: [], index: [] };
  const { pitchMm, barMm } = net;
  const corner = pitchMm / Math.sqrt(3);
  // From the honeycomb's own axes to the cloth's, whose end runs upwards.
  const place = (x: number, y: number): [number, number] => [
    -Math.sin(angle) * x + Math.cos(angle) * y - shiftAside,
    Math.cos(angle) * x + Math.sin(angle) * y - shiftAlong,
  ];
  const bar = (fromX: number, fromY: number, toX: number, toY: number) => {
    const [ax, ay] = place(fromX, fromY);
    const [bx, by] = place(toX, toY);
    if (Math.max(Math.abs(ax), Math.abs(bx)) > net.halfWidthMm) return;
    if (Math.max(Math.abs(ay), Math.abs(by)) > net.halfLengthMm) return;
    const length = Math.hypot(bx - ax, by - ay);
    const [sx, sy] = [(-(by - ay) / length) * (barMm / 2), ((bx - ax) / length) * (barMm / 2)];
    const first = parts.position.length / 3;
    for (const [x, y] of [
      [ax + sx, ay + sy],
      [ax - sx, ay - sy],
      [bx + sx, by + sy],
      [bx - sx, by - sy],
    ]) {
      parts.position.push(x, y, net.zMm);
      parts.owner.push(net.owner);
    }
    parts.index.push(first, first + 1, first + 2, first + 1, first + 3, first + 2);
  };
  // Hexagons that could come to lie on the strip, whatever its turn.
  const reach = Math.hypot(net.halfWidthMm, net.halfLengthMm) + pitchMm;
  const middleX = Math.cos(angle) * shiftAlong - Math.sin(angle) * shiftAside;
  const middleY = Math.sin(angle) * shiftAlong + Math.cos(angle) * shiftAside;
  const row = corner * 1.5;
  for (let j = Math.floor((middleY - reach) / row); j * row < middleY + reach; j++) {
    const aside = (j & 1) === 1 ? 0.5 * pitchMm : 0;
    for (let i = Math.floor((middleX - reach) / pitchMm); i * pitchMm < middleX + reach; i++) {
      const [cx, cy] = [i * pitchMm + aside, j * row];
      // Three of its sides; the others are its neighbours'. Flats stand across x.
      const [right, up] = [0.5 * pitchMm, 0.5 * corner];
      bar(cx + right, cy - up, cx + right, cy + up);
      bar(cx + right, cy + up, cx, cy + corner);
      bar(cx, cy + corner, cx - right, cy + up);
    }
  }
  return parts;
}
