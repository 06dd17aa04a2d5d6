/** `?still=1` offers `window.foreclothStill` and nothing to see; anything else lays the table. */
async function start(): Promise<void> {
  if (new URLSearchParams(window.location.search).get('still') === '1') {
    const { drawStills } = await import('./still/still.ts');
    window.foreclothStills = drawStills;
    return;
  }
  const { openTable } = await import('./openTable.tsx');
  await openTable();
}

start().catch((error: unknown) => {
  const message = error instanceof Error ? error.message : String(error);
  document.body.textContent = `Forecloth could not start: ${message}`;
});
