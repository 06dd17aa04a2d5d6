import type { Millimetres } from '#engine/units/units.ts';

export const USES = ['upholstery', 'towels', 'garments', 'scarves', 'hangings'] as const;
export type ClothUse = (typeof USES)[number];

/**
 * Longest float in the finished cloth by use, mm; null where floats are free. Common practice, and makers differ widely:
 * upholstery 3, towels and baby cloth 5, garments 6, scarves and cushions 10–12, of which the lower.
 */
export const FLOAT_LIMIT_MM: Readonly<Record<ClothUse, Millimetres | null>> = {
  upholstery: 3,
  towels: 5,
  garments: 6,
  scarves: 10,
  hangings: null,
};
