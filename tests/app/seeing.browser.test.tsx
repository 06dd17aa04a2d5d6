import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { page, userEvent } from 'vitest/browser';
import { linearFromHex } from '#engine/colour/colour.ts';
import { LIGHT_NAMES, LIGHTS } from '#render/lights.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until } from './layTable.tsx';

let laid: LaidTable;
const ui = () => laid.table.ui.getState();
const notice = () => document.querySelector('.notice')!.textContent!;
const steps = () => laid.table.samples.historySize().steps;

async function lay(): Promise<void> {
  laid = await layTable(smallSample());
  await until('the picture is there', () => laid.automation.view !== undefined);
}

beforeEach(async () => {
  localStorage.clear();
  // The cloth's panel is under 200 px a side.
  await page.viewport(300, 400);
  await lay();
  await laid.automation.ready;
});

afterEach(() => laid.clear());

/** Shares of a picture that are white, and that are dark. */
async function shares(): Promise<{ white: number; dark: number }> {
  const { pixels } = await laid.automation.capture(96, 96, 1);
  let white = 0;
  let dark = 0;
  for (let i = 0; i < pixels.length; i += 4) {
    if (pixels[i + 1] >= 250) white++;
    if (pixels[i + 1] <= 60) dark++;
  }
  return { white: (4 * white) / pixels.length, dark: (4 * dark) / pixels.length };
}

describe('the turn', () => {
  it('is told for the side that is seen: how far the colour moves, and how much warp shows', async () => {
    await until('the far picture is there', () => laid.table.forecast.state.getState().turns !== undefined);
    const told = () => document.querySelector('.turn-reading')?.textContent ?? '';
    await until('the turn is told', () => told().includes('face'));
    expect(told()).toMatch(/sidewayscolour (stays|(a little|plainly|much) .* at \d+°); warp \d+ to \d+ %/);
    expect(told()).toMatch(/tipped/);
    await userEvent.keyboard('t');
    await until('the back is told', () => told().includes('back'));
  });
});

describe('grin-through', () => {
  it('is mapped for the turn now set and for the worst, and told place by place', async () => {
    await until('the map is there', () => document.querySelector('.grin-map') !== null);
    const part = document.querySelector('.grin')!;
    const map = document.querySelector<HTMLElement>('.grin-map')!;
    const mean = () => Number(/(\d+) % at/.exec(part.querySelector('dd')!.textContent!)![1]);
    const told = () => part.querySelector('output')!.textContent!;
    // An open plain weave shows what lies under beside what lies over.
    const square = mean();
    expect(square).toBeGreaterThan(5);
    const most = told();
    expect(most).toMatch(/^picks? [\d–]+, ends? [\d–]+: \d+ % at 0°$/);
    map.focus();
    await userEvent.keyboard(most.includes('ends 1–') ? '{ArrowRight}' : '{ArrowLeft}');
    await until('the next place is told', () => told() !== most);
    await userEvent.keyboard('{Home}');
    await until('the first is told again', () => told() === most);
    // Enter shows the place on the cloth: marked there, in the middle, until Escape.
    await userEvent.keyboard('{Enter}');
    const { marked, pose } = ui();
    expect(pose.targetXMm).toBeCloseTo((marked!.minXMm + marked!.maxXMm) / 2, 6);
    expect(pose.targetYMm).toBeCloseTo((marked!.minYMm + marked!.maxYMm) / 2, 6);
    await until('it is outlined', () => document.querySelector('.marked-place polygon') !== null);
    await userEvent.keyboard('{Escape}');
    await until('it is no longer', () => document.querySelector('.marked-place') === null);
    await userEvent.click(map, { position: { x: 5, y: 5 } });
    expect(ui().marked).toBeDefined();
    const canvas = map.querySelector('canvas')!;
    const painted = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height).data;
    expect(new Set(painted.filter((_, i) => i % 4 === 0)).size).toBeGreaterThan(2);
    await userEvent.selectOptions(page.getByRole('combobox', { name: 'Seen' }), 'worst');
    await until('the worst is told', () => mean() >= square);
    (document.activeElement as HTMLElement).blur();
    await userEvent.keyboard('t');
    await until('the back is told', () => part.querySelector('h3')!.textContent!.includes('back'));
  });
});

describe('the light', () => {
  it('is chosen in a list or stepped by key, told in words, and kept for the next visit but not in the sample', async () => {
    const list = page.getByRole('combobox', { name: /Light/ });
    const window = await shares();
    await userEvent.selectOptions(list, 'behind');
    expect(notice()).toContain('CIE D65, about 1,500 lx from behind and 100 lx in front (common practice)');
    const behind = await shares();
    // The window shows white through the gaps of an open cloth; what faces the dim room goes dark.
    expect(behind.white).toBeGreaterThan(window.white + 0.02);
    expect(behind.dark).toBeGreaterThan(window.dark + 0.1);
    (document.activeElement as HTMLElement).blur();
    const seen: string[] = [];
    for (let i = 0; i < LIGHT_NAMES.length; i++) {
      await userEvent.keyboard('i');
      seen.push(ui().preferences.light);
      expect(notice()).toContain(LIGHTS[ui().preferences.light].illuminant);
    }
    expect([...seen].sort()).toEqual([...LIGHT_NAMES].sort());
    await userEvent.keyboard('{Shift>}I{/Shift}{Shift>}I{/Shift}');
    expect(ui().preferences.light).toBe('raking');
    expect(steps()).toBe(0);
    await laid.clear();
    await lay();
    expect(ui().preferences.light).toBe('raking');
    expect((list.element() as HTMLSelectElement).value).toBe('raking');
  });

  it('rakes from the side it is put to, which throws other shadows', async () => {
    await userEvent.selectOptions(page.getByRole('combobox', { name: 'Light' }), 'raking');
    const pixels = async () => (await laid.automation.capture(64, 64, 2)).pixels;
    const fromLeft = await pixels();
    await userEvent.selectOptions(page.getByRole('combobox', { name: 'Lamp' }), 'above');
    expect(notice()).toContain('along the warp');
    expect(ui().preferences.rakingFrom).toBe('above');
    const fromAbove = await pixels();
    const apart = fromAbove.reduce((sum, code, i) => sum + Math.abs(code - fromLeft[i]), 0) / fromAbove.length;
    // Ends lit across have a dark flank each; lit along they have none. Drawn twice alike, nothing would differ.
    expect(apart).toBeGreaterThan(3);
    await userEvent.selectOptions(page.getByRole('combobox', { name: 'Lamp' }), 'left');
    expect(Array.from(await pixels())).toEqual(Array.from(fromLeft));
  });

  it('turns slowly when asked, until it is stopped', async () => {
    await userEvent.selectOptions(page.getByRole('combobox', { name: /Light/ }), 'turning');
    const began = ui().lightTurn;
    await until('the light has moved', () => ui().lightTurn !== began);
    await userEvent.click(page.getByRole('button', { name: 'Stop the light' }));
    const held = ui().lightTurn;
    await laid.automation.whenSettled();
    expect(ui().lightTurn).toBe(held);
    await userEvent.click(page.getByRole('button', { name: 'Turn the light' }));
    await until('it goes on', () => ui().lightTurn !== held);
  });
});

describe('the distance', () => {
  it('is slid or stepped, told with what blends away, and blurs the picture without drawing it anew', async () => {
    const slider = page.getByRole('slider', { name: /Seen from/ });
    (slider.element() as HTMLElement).focus();
    await userEvent.keyboard('{End}');
    expect(ui().heldAtMm).toBe(5000);
    // 8 ends to the cm in the reed, drawn in by up to a tenth; one minute of arc is 1 mm at 3.44 m.
    const [, apart, beyond] = /^Seen from 5 m.*[Ee]nds (1\.\d+) mm apart blend beyond (\d(?:\.\d)?) m/.exec(notice())!;
    expect(Number(apart)).toBeGreaterThan(1.25 * 0.9 - 0.01);
    expect(Number(apart)).toBeLessThan(1.25);
    expect(Math.abs(Number(beyond) - 3.44 * Number(apart))).toBeLessThan(0.1);
    await userEvent.keyboard('{Home}{ArrowRight}');
    expect(ui().heldAtMm).toBe(300);
    (slider.element() as HTMLElement).blur();
    await userEvent.keyboard('b');
    expect(ui().heldAtMm).toBe(1000);
    expect(document.querySelector('.readings')!.textContent).toContain('contrast left at 1 m');
    await laid.automation.whenSettled();
  });
});

describe('lightness only', () => {
  it('is a key or a button away, and the gap of warp and weft stands among the readings', async () => {
    await userEvent.keyboard('v');
    const { pixels } = await laid.automation.capture(48, 48, 1);
    for (let i = 0; i < pixels.length; i += 4) expect(pixels[i]).toBe(pixels[i + 2]);
    await userEvent.click(page.getByRole('button', { name: /Lightness only/ }));
    const coloured = (await laid.automation.capture(48, 48, 1)).pixels;
    expect(coloured.some((code, i) => i % 4 === 0 && Math.abs(code - coloured[i + 2]) > 8)).toBe(true);
    const gap = document.querySelector('.lightness-gap')!.textContent!;
    expect(gap).toContain('Lightness of the cones');
    // Tar and gull lie in one warp, and weave with gull, rope and kelp.
    expect(gap).toMatch(/warp\d+–\d+weft\d+–\d+apart where they cross0–\d+/);
    expect(gap).not.toContain('will not carry');
  });
});

describe('the lens', () => {
  it('is taken up by key or button, goes with the pointer and the arrows, is put away by Escape, and leaves the pose alone', async () => {
    await userEvent.keyboard('z');
    const { pose, size } = ui();
    expect(ui().lensAt).toEqual({ xPx: size.widthPx / 2, yPx: size.heightPx / 2 });
    const panel = page.getByRole('application', { name: /The cloth/ });
    await userEvent.hover(panel, { position: { x: 40, y: 50 } });
    expect(Math.abs(ui().lensAt!.xPx - 40)).toBeLessThanOrEqual(1);
    // The key has given the cloth the focus.
    expect(document.activeElement).toBe(panel.element());
    await userEvent.keyboard('{ArrowRight}');
    expect(Math.abs(ui().lensAt!.xPx - 60)).toBeLessThanOrEqual(1);
    expect(ui().pose).toBe(pose);
    await until('its rim is there', () => document.querySelector('.lens') !== null);
    await laid.automation.whenSettled();
    await userEvent.keyboard('{Escape}');
    expect(ui().lensAt).toBeUndefined();
    await userEvent.keyboard('{ArrowRight}');
    expect(ui().pose.yawRad).not.toBe(pose.yawRad);
    await userEvent.click(page.getByRole('button', { name: /Lens/ }));
    expect(ui().lensAt).toBeDefined();
    await userEvent.click(page.getByRole('button', { name: /Lens/ }));
    expect(ui().lensAt).toBeUndefined();
  });
});

describe('both sides', () => {
  const words = () => [...document.querySelectorAll('.pane-word')].map(({ textContent }) => textContent);

  it('stand beside each other or in one cloth split by an edge that keys and pointers drag', async () => {
    await userEvent.keyboard('o');
    expect(ui().shown).toBe('sides');
    await until('both are named', () => words().join() === 'Face,Back');
    await laid.automation.whenSettled();
    const { panes, size } = ui();
    const ratio = Math.min(window.devicePixelRatio, 2);
    // The middle of each picture is the same place of the cloth; an open cloth has gaps, so near it will do.
    const metIn = (k: number) => {
      const { xPx, yPx } = panes[k].frame;
      for (let p = 0; p < 81; p++) {
        const x = xPx + size.widthPx / 2 + (p % 9) - 4;
        const y = yPx + size.heightPx / 2 + Math.floor(p / 9) - 4;
        const met = laid.automation.view!.pick(x * ratio, y * ratio);
        if (met) return met;
      }
      throw new Error(`Nothing is drawn in the middle of picture ${k}.`);
    };
    expect(Math.abs(metIn(0).end - metIn(1).end)).toBeLessThanOrEqual(3);
    expect(Math.abs(metIn(0).row - metIn(1).row)).toBeLessThanOrEqual(3);

    await userEvent.selectOptions(page.getByRole('combobox', { name: /Show/ }), 'split');
    const edge = page.getByRole('slider', { name: 'Edge between face and back' });
    (edge.element() as HTMLElement).focus();
    await userEvent.keyboard('{ArrowRight}{ArrowRight}');
    expect(ui().splitAt).toBeCloseTo(0.54, 9);
    const pose = ui().pose;
    const panel = document.querySelector('.cloth-panel')!;
    await userEvent.dragAndDrop(edge, page.getByRole('application', { name: /The cloth/ }), {
      targetPosition: { x: 0.25 * panel.clientWidth, y: 20 },
    });
    // To the pixel under the pointer.
    expect(Math.abs(ui().splitAt - 0.25)).toBeLessThan(2 / panel.clientWidth);
    expect(ui().pose).toBe(pose);
    await userEvent.keyboard('t');
    await until('they have changed sides', () => words().join() === 'Back,Face');
    (document.activeElement as HTMLElement).blur();
    await userEvent.keyboard('o');
    expect(ui().shown).toBe('one');
  });
});

describe('versions kept beside', () => {
  it('are drawn under one pose, each as its own cloth, with a table of what differs alone', async () => {
    await userEvent.keyboard('c');
    expect(ui().shown).toBe('kept');
    expect(ui().beside).toEqual(['looser']);
    await until('the version is forecast', () => laid.table.kept.getState().cloths[0]?.result !== undefined);
    await laid.automation.whenSettled();
    const looser = laid.table.kept.getState().cloths[0].result!.readings;
    const now = laid.automation.forecast!.readings;
    expect(looser.picksPerCm.value).toBeLessThan(now.picksPerCm.value);
    const told = [...document.querySelectorAll('.kept-table th[scope=rowgroup]')].map(
      ({ textContent }) => textContent!,
    );
    expect(told.some((name) => name.startsWith('Picks'))).toBe(true);
    expect(told.some((name) => name.startsWith('Length'))).toBe(true);
    // The same warp in the same reed, which fewer picks draw in less.
    expect(looser.widthMm.value).toBeGreaterThanOrEqual(now.widthMm.value);
    expect(looser.sizes!.reedWidthMm).toBe(now.sizes!.reedWidthMm);
    expect(document.querySelector('.pane-word')!.textContent).toBe('On the table');
    const chooser = page.getByRole('combobox', { name: 'Version in picture 2' });
    expect((chooser.element() as HTMLSelectElement).value).toBe('looser');
    // Under one pose the looser cloth is longer: 12 picks reach farther down and up the picture.
    const ratio = Math.min(window.devicePixelRatio, 2);
    const reachIn = (k: number) => {
      const { xPx, yPx, widthPx, heightPx } = ui().panes[k].frame;
      const met: number[] = [];
      for (let y = 0; y < heightPx; y++) {
        for (let x = -4; x <= 4; x++) {
          if (laid.automation.view!.pick((xPx + widthPx / 2 + x) * ratio, (yPx + y) * ratio)) met.push(y);
        }
      }
      return Math.max(...met) - Math.min(...met);
    };
    expect(reachIn(1)).toBeGreaterThan(reachIn(0));
    await userEvent.click(page.getByRole('button', { name: /Compare/ }));
    expect(ui().shown).toBe('one');
  });
});

describe('the surround', () => {
  afterEach(() => {
    document.documentElement.style.colorScheme = '';
  });

  it('is one neutral grey of 10 to 60 % luminous reflectance in both schemes (ISO 3664, from memory), drawn as well', async () => {
    const colours: string[] = [];
    for (const scheme of ['light', 'dark']) {
      document.documentElement.style.colorScheme = scheme;
      colours.push(getComputedStyle(document.querySelector('.cloth-panel')!).backgroundColor);
      // The page around it does differ.
      colours.push(getComputedStyle(document.body).backgroundColor);
    }
    const [light, lightPage, dark, darkPage] = colours;
    expect(dark).toBe(light);
    expect(darkPage).not.toBe(lightPage);
    const [r, g, b] = /rgb\((\d+), (\d+), (\d+)\)/.exec(light)!.slice(1).map(Number);
    expect([g, b]).toEqual([r, r]);
    const grey = r.toString(16).padStart(2, '0');
    const [reflectance] = linearFromHex(`#${grey}${grey}${grey}`);
    expect(reflectance).toBeGreaterThanOrEqual(0.1);
    expect(reflectance).toBeLessThanOrEqual(0.6);
    // Twice as far off as the panel fits it: the drawn square has bench all round.
    ui().setPose({ ...ui().pose, mmPerPx: 2 * ui().pose.mmPerPx });
    await laid.automation.whenSettled();
    const { pixels } = await laid.automation.capture(96, 96, 1);
    // The corner of a whole cloth is the bench; 8-bit rounding.
    expect(Math.abs(pixels[0] - r)).toBeLessThanOrEqual(1);
  });
});
