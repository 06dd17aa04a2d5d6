import { ClothError } from '#engine/cloth/clothError.ts';
import { PackingError } from '#engine/packing/packedCloth.ts';

/** An error as it travels between threads. */
export interface Trouble {
  readonly kind: 'cloth' | 'packing' | 'range' | 'other';
  readonly message: string;
  readonly code?: string;
  readonly where?: string;
}

export function troubleOf(error: unknown): Trouble {
  const message = error instanceof Error ? error.message : String(error);
  if (error instanceof ClothError) return { kind: 'cloth', message, code: error.code, where: error.where };
  if (error instanceof PackingError) return { kind: 'packing', message };
  return { kind: error instanceof RangeError ? 'range' : 'other', message };
}

/** The error again, of the class that it was of. */
export function errorOf({ kind, message, code = '', where = '' }: Trouble): Error {
  if (kind === 'cloth') return new ClothError(code, where, message);
  if (kind === 'packing') return new PackingError(message);
  return kind === 'range' ? new RangeError(message) : new Error(message);
}
