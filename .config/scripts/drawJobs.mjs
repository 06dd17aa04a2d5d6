import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/**
 * Draws what the folder does not hold yet of jobs `{ title, sample, views, files }`. One that fails is told, the rest is drawn all
 * the same.
 * @param script whose words the page's are
 * @returns what failed, a line each
 */
export async function drawJobs(jobs, folder, script) {
  const left = jobs.filter(({ files }) => !files.every((file) => existsSync(join(folder, file))));
  if (left.length === 0) return [];
  const { openStillPage } = await import('./stillPage.mjs');
  const session = await openStillPage((message) => console.error(`${script}: ${message}`));
  const failures = [];
  try {
    for (const { title, sample, views, files } of left) {
      const start = Date.now();
      try {
        const stills = await session.draw(JSON.stringify(sample), views);
        for (const [k, { pngBase64 }] of stills.entries()) {
          writeFileSync(join(folder, files[k]), Buffer.from(pngBase64, 'base64'));
        }
        console.log(`${title}: ${((Date.now() - start) / 1000).toFixed(1)} s`);
      } catch (error) {
        failures.push(`${title}: ${error instanceof Error ? error.message : String(error)}`);
        console.error(failures[failures.length - 1]);
      }
    }
  } finally {
    await session.close();
  }
  return failures;
}
