/** Adds the memory of all arrays within a value, so that it can be handed over in place of copied. */
export function collectBuffers(value: unknown, into: Set<ArrayBuffer>): void {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) into.add(value.buffer);
  } else if (Array.isArray(value)) {
    for (const item of value) collectBuffers(item, into);
  } else if (value !== null && typeof value === 'object') {
    for (const item of Object.values(value)) collectBuffers(item, into);
  }
}
