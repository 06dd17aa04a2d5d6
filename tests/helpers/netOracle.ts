import { hash3, unitFromHash } from '#engine/scatter/hash3.ts';
import type { MeshParts } from './tubeOracle.ts';

/** How far a layer of net may lie askew and slip, and where each thread's begins (walk/intersectMesh.ts). */
const SLANT = 0.15;
const SHIFT = 0.5;
const STEP = 0.618034;

/** A net laid flat, from how it is made: how wide a hole is between flats, how wide a bar. */
export interface FlatNet {
  readonly shape: 'hexagon' | 'square';
  readonly pitchMm: number;
  readonly barMm: number;
  /** Layers over one another, evenly spaced through the section. */
  readonly layers: number;
  /** The thread whose strip it is (row * 2, or end * 2 + 1), which tells how it lies. */
  readonly owner: number;
  /** Height of its middle, and half its section's height. */
  readonly zMm: number;
  readonly halfHeightMm: number;
  /** Half the strip's width. */
  readonly halfWidthMm: number;
  readonly halfLengthMm: number;
}

/** So far from the strip's edges bars are left out, mm: seen is its middle. */
const MARGIN_MM = 0.1;

/**
 * Bars as rectangles, one along each side of each hole, layer by layer, drawn by the rasteriser: shares with the walk only
 * where the strip's net happens to lie (three hashed numbers to two layers, which are folded about their edge), and neither its
 * search for layers and for the nearest hole nor its distance from the nearest bar. Three bars meet in each corner of a
 * honeycomb and leave no notch there.
 */
export function netBars(net: FlatNet): MeshParts {
  const parts: MeshParts = { position: [], owner: [], index: [] };
  for (let layer = 0; layer < net.layers; layer++) addLayer(parts, net, layer);
  return parts;
}

function addLayer(parts: MeshParts, net: FlatNet, layer: number): void {
  const { pitchMm, barMm } = net;
  // The layer is a chord of the section.
  const level = (2 * layer + 1) / net.layers - 1;
  const edgeMm = net.halfWidthMm * Math.sqrt(1 - level * level);
  const zMm = net.zMm + level * net.halfHeightMm;
  const folded = layer % 2 === 1 ? -1 : 1;
  const words = hash3(new Uint32Array(3), net.owner, Math.floor(layer / 2), 89);
  const shiftAlong = pitchMm * (((STEP * net.owner) % 1) + SHIFT * unitFromHash(words[0]));
  const shiftAside = 53 * unitFromHash(words[1]) - folded * edgeMm;
  const angle = Math.atan(SLANT * (unitFromHash(words[2]) - 0.5));
  // From the mesh's own axes to the cloth's, whose end runs upwards.
  const place = (x: number, y: number): [number, number] => [
    folded * (-Math.sin(angle) * x + Math.cos(angle) * y - shiftAside),
    Math.cos(angle) * x + Math.sin(angle) * y - shiftAlong,
  ];
  const bar = (fromX: number, fromY: number, toX: number, toY: number) => {
    const [ax, ay] = place(fromX, fromY);
    const [bx, by] = place(toX, toY);
    if (Math.max(Math.abs(ax), Math.abs(bx)) > edgeMm - MARGIN_MM) return;
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
      parts.position.push(x, y, zMm);
      parts.owner.push(net.owner);
    }
    parts.index.push(first, first + 1, first + 2, first + 1, first + 3, first + 2);
  };
  // Holes that could come to lie on the strip, whatever its turn.
  const reach = Math.hypot(edgeMm, net.halfLengthMm) + pitchMm;
  const middleX = Math.cos(angle) * shiftAlong - Math.sin(angle) * shiftAside;
  const middleY = Math.sin(angle) * shiftAlong + Math.cos(angle) * shiftAside;
  const square = net.shape === 'square';
  const corner = pitchMm / Math.sqrt(3);
  const row = square ? pitchMm : corner * 1.5;
  for (let j = Math.floor((middleY - reach) / row); j * row < middleY + reach; j++) {
    const aside = !square && (j & 1) === 1 ? 0.5 * pitchMm : 0;
    for (let i = Math.floor((middleX - reach) / pitchMm); i * pitchMm < middleX + reach; i++) {
      const [cx, cy] = [i * pitchMm + aside, j * row];
      // Half of its sides; the others are its neighbours'. A hexagon's flats stand across x.
      const [right, up] = [0.5 * pitchMm, square ? 0.5 * pitchMm : 0.5 * corner];
      bar(cx + right, cy - up, cx + right, cy + up);
      if (square) {
        bar(cx + right, cy + up, cx - right, cy + up);
        continue;
      }
      bar(cx + right, cy + up, cx, cy + corner);
      bar(cx, cy + corner, cx - right, cy + up);
    }
  }
}
