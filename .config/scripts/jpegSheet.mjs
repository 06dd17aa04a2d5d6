import { findChromium, installPackages, requireNode } from './prepare.mjs';

/**
 * Sheets of pictures and words, drawn by headless Chromium on a plain canvas.
 * @returns draw({ width, height, texts, pictures, quality }): a JPEG as a Buffer. `texts`: { x, y, text, px, bold? } from the
 *   base line; `pictures`: { x, y, width, height, png }, scaled to fit, where png is a Buffer
 */
export async function openJpegSheets() {
  requireNode();
  installPackages();
  const executablePath = findChromium();
  const { chromium } = await import('playwright-core');
  const { chromiumFlags } = await import('./chromiumFlags.mjs');
  const browser = await chromium.launch({ executablePath, headless: true, args: chromiumFlags });
  const page = await browser.newPage();
  page.setDefaultTimeout(0);
  return { draw: (sheet) => draw(page, sheet), close: () => browser.close() };
}

async function draw(page, { pictures, ...rest }) {
  const sheet = { ...rest, pictures: pictures.map(({ png, ...place }) => ({ ...place, png: png.toString('base64') })) };
  const base64 = await page.evaluate(async ({ width, height, texts, pictures: placed, quality }) => {
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext('2d');
    context.fillStyle = '#d9d9d9';
    context.fillRect(0, 0, width, height);
    context.fillStyle = '#222';
    for (const { x, y, text, px, bold } of texts) {
      context.font = `${bold ? 'bold ' : ''}${px}px sans-serif`;
      context.fillText(text, x, y);
    }
    context.imageSmoothingQuality = 'high';
    for (const { x, y, width: w, height: h, png } of placed) {
      const picture = new Image();
      picture.src = `data:image/png;base64,${png}`;
      await picture.decode();
      context.drawImage(picture, x, y, w, h);
    }
    return canvas.toDataURL('image/jpeg', quality).split(',')[1];
  }, sheet);
  return Buffer.from(base64, 'base64');
}
