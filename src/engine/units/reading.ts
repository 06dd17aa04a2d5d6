/** A figure with what it may be for all that is not known: [least, most]. */
export interface Reading {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** A value without a doubt. */
export const exactly = (value: number): Reading => ({ value, low: value, high: value });

/** A value and a share of it either way. */
export const around = (value: number, doubt: number): Reading => ({
  value,
  low: value * (1 - doubt),
  high: value * (1 + doubt),
});

/** A share of something, and so many points either way; never below nothing nor above all. */
export const shareAround = (value: number, points: number): Reading => ({
  value,
  low: Math.min(value, Math.max(0, value - points)),
  high: Math.max(value, Math.min(1, value + points)),
});

/** The same doubt about another value. */
export const doubtedLike = (now: number, { value, low, high }: Reading): Reading =>
  value === 0 ? exactly(now) : { value: now, low: (now * low) / value, high: (now * high) / value };

/** A value that is known within a factor. */
export const aboutFactor = (value: number, factor: number): Reading => ({
  value,
  low: value / factor,
  high: value * factor,
});
