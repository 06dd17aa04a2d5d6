import type { CurveField } from '#engine/cloth/clothTypes.ts';

/** Heights of a surface over the crossings of a region, row-major, mm, and where its threads lie. */
export interface ClothSurface {
  readonly rows: number;
  readonly ends: number;
  readonly zMm: Float32Array;
  readonly endXMm: ArrayLike<number>;
  readonly rowYMm: ArrayLike<number>;
  /** Length after which the region comes again each way; 0 where it does not. */
  readonly turnXMm: number;
  readonly turnYMm: number;
}

interface Neighbours {
  readonly before: Int32Array;
  readonly after: Int32Array;
  /** From the one to the other, mm. */
  readonly reachMm: Float64Array;
}

/** Nearest threads either side at another place; threads side by side share theirs. */
function neighbours(placeMm: ArrayLike<number>, count: number, turnMm: number): Neighbours {
  const before = new Int32Array(count);
  const after = new Int32Array(count);
  const reachMm = new Float64Array(count);
  const apart = (a: number, b: number) => Math.abs(a - b) > 1e-6;
  for (let k = 0; k < count; k++) {
    let b = k;
    while (b > 0 && !apart(placeMm[b], placeMm[k])) b--;
    let a = k;
    while (a + 1 < count && !apart(placeMm[a], placeMm[k])) a++;
    let back = placeMm[k] - placeMm[b];
    let on = placeMm[a] - placeMm[k];
    if (back <= 0 && turnMm > 0) {
      b = count - 1;
      back = placeMm[k] - placeMm[0] + turnMm - (placeMm[b] - placeMm[0]);
    }
    if (on <= 0 && turnMm > 0) {
      a = 0;
      on = turnMm - (placeMm[k] - placeMm[0]);
    }
    before[k] = back > 0 ? b : k;
    after[k] = on > 0 ? a : k;
    reachMm[k] = Math.max(0, back) + Math.max(0, on);
  }
  return { before, after, reachMm };
}

/**
 * Both systems carried on a curved surface: each thread's height off the middle is turned square to the surface, which lifts it
 * by √(1 + z_x² + z_y²) as seen along z, so that threads that cross on a slope stay as far apart as on the flat. Places in
 * plan stay, so a thread gains the length that its slope asks for.
 * @returns fields of their own; those given stay as they are
 */
export function layOverSurface(
  warp: CurveField,
  weft: CurveField,
  surface: ClothSurface,
): { readonly warp: CurveField; readonly weft: CurveField } {
  const { rows, ends, zMm } = surface;
  const across = neighbours(surface.endXMm, ends, surface.turnXMm);
  const along = neighbours(surface.rowYMm, rows, surface.turnYMm);
  const own = (field: CurveField): CurveField => ({
    ...field,
    heightMm: field.heightMm.slice(),
    slope: field.slope.slice(),
    wrapStartMm: field.wrapStartMm.slice(),
    wrapEndMm: field.wrapEndMm.slice(),
  });
  const laid = { warp: own(warp), weft: own(weft) };
  for (let row = 0; row < rows; row++) {
    const below = along.before[row] * ends;
    const above = along.after[row] * ends;
    for (let end = 0; end < ends; end++) {
      const k = row * ends + end;
      const first = row * ends;
      const zx =
        across.reachMm[end] > 0
          ? (zMm[first + across.after[end]] - zMm[first + across.before[end]]) / across.reachMm[end]
          : 0;
      const zy = along.reachMm[row] > 0 ? (zMm[above + end] - zMm[below + end]) / along.reachMm[row] : 0;
      if (zMm[k] === 0 && zx === 0 && zy === 0) continue;
      const stands = Math.sqrt(1 + zx * zx + zy * zy);
      carry(laid.warp, k, zMm[k], zy, stands);
      carry(laid.weft, k, zMm[k], zx, stands);
    }
  }
  return laid;
}

function carry(field: CurveField, k: number, zMm: number, slope: number, stands: number): void {
  field.heightMm[k] = zMm + stands * field.heightMm[k];
  field.slope[k] = slope + stands * field.slope[k];
  field.wrapStartMm[k] *= stands;
  field.wrapEndMm[k] *= stands;
}
