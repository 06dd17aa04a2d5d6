/**
 * Asks the browser not to clear this page's storage when space runs short. True where it promises; browsers may refuse,
 * and some clear what was not visited for a week all the same, so the page should still remind people to save files.
 */
export async function askToKeep(): Promise<boolean> {
  if (!navigator.storage?.persist) return false;
  return (await navigator.storage.persisted()) || (await navigator.storage.persist());
}
