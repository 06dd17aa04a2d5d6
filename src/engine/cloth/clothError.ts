/** A cloth that cannot be: what is wrong, at which end or pick (counted from 1), and what to do about it. */
export class ClothError extends Error {
  readonly code: string;
  readonly where: string;

  constructor(code: string, where: string, message: string) {
    super(message);
    this.name = 'ClothError';
    this.code = code;
    this.where = where;
  }
}
