import { findChromium, installPackages, requireNode, root, run } from './prepare.mjs';

/**
 * The built page in headless Chromium, for pictures from the command line.
 * @returns draw(sampleText, views): a still for each or, where the sample is refused, an Error with the page's own words;
 *   compose: pictures set out in a table with labels, as a JPEG in base64
 */
export async function openStillPage(onError = (message) => console.error(message)) {
  requireNode();
  installPackages();
  const executablePath = findChromium();
  run(
    process.execPath,
    [`${root}node_modules/vite/bin/vite.js`, 'build', '--config', '.config/vite.config.ts', '--logLevel', 'error'],
    { stdio: ['ignore', 'ignore', 'inherit'] },
  );
  const { preview } = await import('vite');
  const { chromium } = await import('playwright-core');
  const { chromiumFlags } = await import('./chromiumFlags.mjs');
  const server = await preview({
    root,
    configFile: `${root}.config/vite.config.ts`,
    preview: { host: '127.0.0.1', port: 0, open: false },
    logLevel: 'error',
  });
  const browser = await chromium.launch({ executablePath, headless: true, args: chromiumFlags });
  const close = async () => {
    await browser.close();
    await server.close();
  };
  try {
    const page = await browser.newPage();
    page.on('pageerror', (error) => onError(error.message));
    await page.goto(`${server.resolvedUrls.local[0]}?still=1`);
    await page.waitForFunction(() => typeof globalThis.foreclothStills === 'function', undefined, { timeout: 60_000 });
    page.setDefaultTimeout(0);
    return { draw: (text, views) => draw(page, text, views), compose: (...table) => compose(page, table), close };
  } catch (error) {
    await close();
    throw error;
  }
}

async function draw(page, text, views) {
  const result = await page.evaluate(
    async ([sampleText, stillViews]) => {
      try {
        return await globalThis.foreclothStills(sampleText, stillViews);
      } catch (error) {
        return { refused: error instanceof Error ? error.message : String(error) };
      }
    },
    [text, views],
  );
  if (result.refused) throw new Error(result.refused);
  return result;
}

function compose(page, table) {
  return page.evaluate(async ([title, columns, rows, width, height]) => {
    const GAP = 6;
    const TOP = 44;
    const LEFT = 150;
    const canvas = document.createElement('canvas');
    canvas.width = LEFT + columns.length * (width + GAP);
    canvas.height = TOP + rows.length * (height + GAP);
    const context = canvas.getContext('2d');
    context.fillStyle = '#d9d9d9';
    context.fillRect(0, 0, canvas.width, canvas.height);
    context.fillStyle = '#222';
    context.font = '12px sans-serif';
    context.fillText(title, GAP, 16);
    for (const [k, label] of columns.entries()) context.fillText(label, LEFT + k * (width + GAP), TOP - 8);
    for (const [r, { label, pictures }] of rows.entries()) {
      const y = TOP + r * (height + GAP);
      context.fillText(label, GAP, y + height / 2);
      for (const [k, base64] of pictures.entries()) {
        const picture = new Image();
        picture.src = `data:image/png;base64,${base64}`;
        await picture.decode();
        context.drawImage(picture, LEFT + k * (width + GAP), y);
      }
    }
    return canvas.toDataURL('image/jpeg', 0.88).split(',')[1];
  }, table);
}
