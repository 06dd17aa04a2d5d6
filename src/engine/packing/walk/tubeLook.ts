import { createSectionValue, createTubePoint, footPoint, sectionAt, type TubeSegment } from './tubeSegment.ts';

/** A ray in a segment's own axes: along the thread, sideways, up. */
export interface LocalRay {
  alongO: number;
  alongD: number;
  sideO: number;
  sideD: number;
  upO: number;
  upD: number;
}

const point = createTubePoint();

/** What the place looked at last says: the section's value there, and from it to the centre line, as near as that comes. */
export const seen = { value: createSectionValue(), awayMm: 0 };

/** Looks at the ray's place at `t`, of u = uO + t uD along the segment; writes `seen`. */
export function lookAt(segment: TubeSegment, ray: LocalRay, uO: number, uD: number, t: number): void {
  const side = ray.sideO + t * ray.sideD;
  const up = ray.upO + t * ray.upD;
  const ahead = footPoint(point, segment, uO + t * uD, side, up);
  seen.awayMm = Math.hypot(ahead, side - point.o, up - point.z);
  sectionAt(seen.value, point, ahead, side, up, ray.alongD, ray.sideD, ray.upD);
}
