import type { ClothProblem } from '#engine/cloth/clothTypes.ts';
import { EXTRA_TEXELS } from './clothBufferLayout.ts';
import { extraLength } from './extraCurve.ts';
import type { HairInCloth } from './packHair.ts';
import type { TailPiece } from './smoothWay.ts';
import { sectionOfCore } from './threadSizes.ts';

/** Quadratic Bézier tubes, EXTRA_TEXELS * 4 numbers each, laid out as in clothBufferLayout.ts. */
export interface ClothExtras {
  readonly count: number;
  readonly data: Float32Array;
}

/** Where along its thread, mm, a piece begins, and whether it runs on with the thread's own sense (1) or against (−1). */
export interface ThreadRun {
  readonly alongMm: number;
  readonly sense: number;
}

/** Half the section of a thread, mm, all of it: what of it is hair is taken off here. */
export interface HalfSection {
  readonly halfWidth: number;
  readonly halfHeight: number;
}

/** Collects the tubes of turns, tails and cut ends. */
export class ExtraTubes {
  private readonly numbers: number[] = [];

  constructor(
    private readonly problem: ClothProblem,
    private readonly hairs: Pick<HairInCloth, 'coreShare' | 'hairMm'>,
  ) {}

  /**
   * Adds a piece and returns where along the thread the next piece of its way begins.
   * @param owner row * 2, or end * 2 + 1
   * @param goesOn whether its thread goes on in another piece
   */
  push(
    [p0, p1, p2]: TailPiece,
    { halfWidth, halfHeight }: HalfSection,
    owner: number,
    { alongMm, sense }: ThreadRun,
    hairy = true,
    goesOn = false,
  ): ThreadRun {
    const { endYarn, rowYarn } = this.problem;
    const yarn = owner & 1 ? endYarn[owner >> 1] : rowYarn[owner >> 1];
    const { contactWidthMm, contactHeightMm } = this.problem.yarns[yarn];
    const core = this.hairs.coreShare[yarn];
    const wide = contactWidthMm * sectionOfCore(core, (2 * halfWidth) / contactWidthMm);
    const high = contactHeightMm * sectionOfCore(core, (2 * halfHeight) / contactHeightMm);
    const hairMm = hairy ? this.hairs.hairMm[yarn] : 0;
    this.numbers.push(...p0, wide / 2, ...p1, high / wide, ...p2, owner, alongMm, sense, hairMm, goesOn ? 1 : 0);
    return { alongMm: alongMm + sense * extraLength([...p0, ...p1, ...p2]), sense };
  }

  /** A thread's way in several pieces. */
  pushWay(pieces: readonly TailPiece[], section: HalfSection, owner: number, from: ThreadRun): void {
    let run = from;
    for (const [k, points] of pieces.entries()) {
      run = this.push(points, section, owner, run, true, k < pieces.length - 1);
    }
  }

  finish(): ClothExtras {
    return { count: this.numbers.length / (EXTRA_TEXELS * 4), data: Float32Array.from(this.numbers) };
  }
}
