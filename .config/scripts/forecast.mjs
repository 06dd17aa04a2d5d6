// `npm run forecast` writes docs/forecast.md and docs/pictures/forecast.svg: what was measured on cloth, and what the engine says.
// With `--search` it searches the model's constants on the rows that are fitted instead, and writes nothing.
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
  if (process.argv.includes('--search')) {
    const { searchConstants } = await server.ssrLoadModule('/tests/reference/forecast/tuning.ts');
    searchConstants(console.log);
  } else {
    const { forecastReport } = await server.ssrLoadModule('/tests/reference/forecast/report.ts');
    const { markdown, plot } = forecastReport();
    writeFileSync(join(root, 'docs/forecast.md'), markdown);
    writeFileSync(join(root, 'docs/pictures/forecast.svg'), plot);
    console.log('docs/forecast.md');
  }
} finally {
  await server.close();
}
