// Lays pictures of materials out as sheets: with names, or numbered for eyes that are not told.
import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { CELL, pictureFile, settingOf, VIEWS, WEAVES } from './materialsJobs.mjs';

const GAP = 6;
const LEFT = 8;
const TOP = 52;
const NAME_PX = 22;
const NOTE_PX = 16;
const ROW = NAME_PX + WEAVES.length * (CELL.height + GAP) + NOTE_PX;
const WEAVE_WIDTH = 54;
const QUALITY = 0.82;
const NUMBERS_A_SHEET = 8;
/** What a stranger sees of each material. */
const BLIND = [
  ['plain', { distance: 'near', side: 'face', view: 'square' }],
  ['plain', { distance: 'near', side: 'back', view: 'square' }],
  ['sateen', { distance: 'near', side: 'face', view: 'square' }],
  ['sateen', { distance: 'near', side: 'face', view: 'turned' }],
];

/** Puts a picture on a sheet, or leaves its place empty and names it among the missing. */
function place(sheet, folder, name, at) {
  const file = join(folder, name);
  if (existsSync(file)) sheet.pictures.push({ ...at, png: readFileSync(file) });
  else {
    sheet.texts.push({ x: at.x + 4, y: at.y + at.height / 2, text: 'not drawn', px: 12 });
    sheet.missing.push(name);
  }
}

/** One row a material, two lines a row, for `openJpegSheets().draw`; `missing`: pictures that the folder does not hold. */
export function namedSheet(title, materials, folder) {
  const sheet = { texts: [{ x: LEFT, y: 20, text: title, px: 16, bold: true }], pictures: [], missing: [] };
  const { texts } = sheet;
  const left = LEFT + WEAVE_WIDTH;
  for (const [k, { distance, side, view }] of VIEWS.entries()) {
    texts.push({ x: left + k * (CELL.width + GAP), y: 42, text: `${distance}, ${side}, ${view}`, px: 12 });
  }
  for (const [r, material] of materials.entries()) {
    const { acrossMm, warp } = settingOf(material);
    const y = TOP + r * ROW;
    texts.push({ x: LEFT, y: y + 15, text: material.label, px: 14, bold: true });
    for (const [w, weave] of WEAVES.entries()) {
      const top = y + NAME_PX + w * (CELL.height + GAP);
      texts.push({ x: LEFT, y: top + CELL.height / 2, text: weave, px: 12 });
      for (const [k, view] of VIEWS.entries()) {
        place(sheet, folder, pictureFile(material.id, weave, view), {
          x: left + k * (CELL.width + GAP),
          y: top,
          ...CELL,
        });
      }
    }
    const note = `near: ${acrossMm} mm across; warp: ${warp.words}`;
    texts.push({ x: left, y: y + ROW - 6, text: note, px: 12 });
  }
  return {
    width: left + VIEWS.length * (CELL.width + GAP) + LEFT,
    height: TOP + materials.length * ROW,
    ...sheet,
    quality: QUALITY,
  };
}

/** In an order that the seed gives. */
export function shuffled(materials, seed) {
  const key = ({ id }) => createHash('sha256').update(`${seed} ${id}`).digest('hex');
  return [...materials].sort((a, b) => (key(a) < key(b) ? -1 : 1));
}

/** Near pictures at the size that they were drawn in, numbered from 1. */
export function blindSheets(materials, folder, size) {
  const left = 64;
  const row = size.height + NOTE_PX + GAP;
  const sheets = [];
  for (let from = 0; from < materials.length; from += NUMBERS_A_SHEET) {
    const sheet = { texts: [], pictures: [], missing: [] };
    const { texts } = sheet;
    const shown = materials.slice(from, from + NUMBERS_A_SHEET);
    for (const [r, material] of shown.entries()) {
      const y = GAP + r * row;
      texts.push({ x: 8, y: y + 30, text: String(from + r + 1), px: 24, bold: true });
      texts.push({ x: 8, y: y + 50, text: `${settingOf(material).acrossMm} mm`, px: 12 });
      texts.push({ x: 8, y: y + 64, text: 'across', px: 12 });
      for (const [k, [weave, view]] of BLIND.entries()) {
        const x = left + k * (size.width + GAP);
        place(sheet, folder, pictureFile(material.id, weave, view), { x, y, ...size });
        const words = `${weave}, ${view.side}, ${view.view}`;
        texts.push({ x, y: y + size.height + 13, text: words, px: 12 });
      }
    }
    const width = left + BLIND.length * (size.width + GAP);
    sheets.push({ width, height: GAP + shown.length * row, ...sheet, quality: 0.9 });
  }
  return sheets;
}
