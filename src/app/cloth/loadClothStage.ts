/** Fetches what draws the cloth; asked for in several places, fetched once. */
export function loadClothStage(): Promise<typeof import('./ClothStage.tsx')> {
  return import('./ClothStage.tsx');
}
