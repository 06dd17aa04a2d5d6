// `npm run forecast` writes docs/forecast.md and docs/pictures/forecast.svg: what was measured on cloth, and what the engine says.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createServer } from 'vite';
import { root } from './prepare.mjs';

const server = await createServer({
  root,
  configFile: false,
  logLevel: 'error',
  server: { middlewareMode: true, watch: null },
  appType: 'custom',
});
try {
  const { forecastReport } = await server.ssrLoadModule('/tests/reference/forecast/report.ts');
  const { markdown, plot } = forecastReport();
  writeFileSync(join(root, 'docs/forecast.md'), markdown);
  writeFileSync(join(root, 'docs/pictures/forecast.svg'), plot);
  console.log('docs/forecast.md');
} finally {
  await server.close();
}
