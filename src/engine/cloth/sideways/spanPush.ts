import { type SpanStiffness, spanStiffness } from '#engine/cloth/heights/tieBeam.ts';

/** Step of the derivative, as a share of the span: central differences err by its square. */
const STEP = 1e-3;
/** Spans are told apart to this share of the pitch that the table was made for; the push then errs by 1 % at most. */
const STEPS_PER_PITCH = 256;
const LONGEST = 8;
/** Share of a span over which the push's fall is taken. */
const SLOPE_SHARE = 1 / 16;

export interface Push {
  /** N, positive apart. */
  forceN: number;
  /** How much less it is for each mm that the span grows, N/mm; 0 or more. */
  fallNPerMm: number;
}

const shorter: SpanStiffness = { shear: 0, cross: 0, near: 0, far: 0 };
const longer: SpanStiffness = { shear: 0, cross: 0, near: 0, far: 0 };

/**
 * How hard a thread that changes height between two crossings pushes these apart, along its own line: the energy of its
 * span falls as the span lengthens, −∂E/∂p at given heights and slopes of its ends, E the span's bending and tension
 * energy (exact tie-beam, small slopes). A taut thread pushes with T θ²/2, θ its slope: T (1 − cos θ), the part of its pull
 * that goes sideways where it dives between the two. A stiff one with 18 B h²/p⁴ (level at its ends, h apart).
 */
export class SpanPush {
  private readonly table: Float64Array;
  private readonly known: Uint8Array;

  constructor(
    private readonly bendingNmm2: number,
    private readonly tensionN: number,
    private readonly pitchMm: number,
  ) {
    this.known = new Uint8Array((1 + SLOPE_SHARE) * LONGEST * STEPS_PER_PITCH + 1);
    this.table = new Float64Array(4 * this.known.length);
  }

  private fill(index: number): void {
    const p = (Math.max(1, index) / STEPS_PER_PITCH) * this.pitchMm;
    const h = STEP * p;
    spanStiffness(p - h, this.bendingNmm2, this.tensionN, shorter);
    spanStiffness(p + h, this.bendingNmm2, this.tensionN, longer);
    const per = 1 / (2 * h);
    this.table[4 * index] = 0.5 * (longer.shear - shorter.shear) * per;
    this.table[4 * index + 1] = (longer.cross - shorter.cross) * per;
    this.table[4 * index + 2] = 0.5 * (longer.near - shorter.near) * per;
    this.table[4 * index + 3] = (longer.far - shorter.far) * per;
    this.known[index] = 1;
  }

  /**
   * Into `out`: force and how it falls as the span grows, for a thread from node `a` to node `b` of the fields of heights (mm)
   * and slopes. Read here, numbers need not be boxed on the way.
   */
  at(spanMm: number, heightMm: ArrayLike<number>, slope: ArrayLike<number>, a: number, b: number, out: Push): void {
    const step = Math.round((spanMm / this.pitchMm) * STEPS_PER_PITCH);
    const index = Math.min(LONGEST * STEPS_PER_PITCH, Math.max(1, step));
    const wide = Math.max(1, Math.round(SLOPE_SHARE * index));
    if (this.known[index] === 0) this.fill(index);
    if (this.known[index + wide] === 0) this.fill(index + wide);
    const rise = heightMm[b] - heightMm[a];
    const s0 = slope[a];
    const s1 = slope[b];
    const ofShear = rise * rise;
    const ofCross = rise * (s0 + s1);
    const ofNear = s0 * s0 + s1 * s1;
    const ofFar = s0 * s1;
    const { table } = this;
    const near = 4 * index;
    const far = near + 4 * wide;
    const force =
      table[near + 1] * ofCross - table[near] * ofShear - table[near + 2] * ofNear - table[near + 3] * ofFar;
    const wider = table[far + 1] * ofCross - table[far] * ofShear - table[far + 2] * ofNear - table[far + 3] * ofFar;
    out.forceN = force;
    out.fallNPerMm = Math.max(0, ((force - wider) * STEPS_PER_PITCH) / (wide * this.pitchMm));
  }
}
