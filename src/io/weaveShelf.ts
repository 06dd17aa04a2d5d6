/** Every weave card as text, in one module: the library shows them all at once, and none before it is opened. */
export const weaveTexts = import.meta.glob('/presets/weaves/*.json', {
  query: '?raw',
  import: 'default',
  eager: true,
}) as Record<string, string>;
