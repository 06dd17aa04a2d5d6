/** All yarn cards as text, by path: one module, fetched at once when the shelf is first looked at. */
export const yarnTexts = import.meta.glob('/presets/yarns/*.json', {
  eager: true,
  query: '?raw',
  import: 'default',
}) as Record<string, string>;
