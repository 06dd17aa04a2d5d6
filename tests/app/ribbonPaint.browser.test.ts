import { describe, expect, it } from 'vitest';
import { rowKinds } from '#app/model/clothThreads.ts';
import { paintRibbon, type RibbonPicture } from '#app/model/ribbonPaint.ts';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import { groupThreads } from '#app/model/threadGroups.ts';
import { rowColours } from '#document/rowColours.ts';
import type { WeftPass } from '#document/schema/pickSchema.ts';
import type { Sample } from '#document/schema/sampleSchema.ts';
import { smallSample } from '#tests/document/smallSample.ts';

const thicknessPx = 136;
const marginPx = 9;
/** The band runs from the margin to 7 px short of the edge: 120 px, 5 an end. */
const endPx = (end: number) => marginPx + 5 * (end - 0.5);
const inks = { ink: '#000000', hairline: '#b3b3b3', accent: '#0000ff', paper: '#ffffff' };

function pass(yarn: string, fromEnd?: number, toEnd?: number): WeftPass {
  if (fromEnd === undefined) return { strands: [yarn], enters: 'left', ends: 'selvedge' };
  return { strands: [yarn], fromEnd, toEnd, enters: 'left', ends: 'cut' };
}

function withPicks(...picks: WeftPass[][]): Sample {
  return { ...smallSample(), picks: picks.map((passes, i) => ({ lift: [1 + (i % 2)], passes })) };
}

/** Colour at an end's middle and a height above the lowest row, px; rows as given, `pitchPx` apart. */
function painted(
  sample: Sample,
  positionsMm: number[],
  pitchPx: number,
  mirrored = false,
  formatNumber = (_: number) => '',
) {
  const cloth = sampleCloth(sample);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  const rows = rowKinds(cloth.value);
  const count = positionsMm.length;
  const lengthPx = 100;
  const boundaries = new Float32Array(count + 1);
  const middle = (i: number) => (positionsMm[i - 1] + positionsMm[i]) / 2;
  for (let i = 0; i <= count; i++) {
    const mm = i === 0 ? positionsMm[0] - 0.5 : i === count ? positionsMm[count - 1] + 0.5 : middle(i);
    boundaries[i] = lengthPx - (mm + 0.5) * pitchPx;
  }
  const canvas = new OffscreenCanvas(thicknessPx, lengthPx);
  const context = canvas.getContext('2d') as unknown as CanvasRenderingContext2D;
  const picture: RibbonPicture = {
    axis: 'picks',
    lengthPx,
    thicknessPx,
    marginPx,
    boundaries,
    count,
    positionsMm,
    pickOf: rows.pickOf,
    yarnOf: rows.yarnOf,
    spanOf: rows.spanOf,
    mirrored,
    coloursOf: rows.coloursOf,
    runsOf: rowColours(cloth.value.problem, (id) => sample.yarns[id].colourRepeat, 0),
    // Wider than the pitch, so that every strip is full.
    widthMmOf: Array.from(rows.widthMmOf, () => 10),
    meanPitchMm: 1,
    groups: groupThreads(rows.yarnOf),
    selected: undefined,
    cursor: undefined,
    dropAt: undefined,
    ink: inks,
    formatNumber,
  };
  paintRibbon(context, picture);
  return (end: number, abovePx: number) => {
    const [r, g, b, alpha] = context.getImageData(Math.floor(endPx(end)), lengthPx - abovePx, 1, 1).data;
    if (alpha === 0) return 'empty';
    const hex = `#${[r, g, b].map((part) => part.toString(16).padStart(2, '0')).join('')}`;
    const { yarns } = smallSample();
    return Object.keys(yarns).find((id) => yarns[id].coneColour === hex) ?? (hex === inks.hairline ? 'shed' : hex);
  };
}

describe('a pass over part of the width', () => {
  const inlay = withPicks([pass('kelp'), pass('rope', 5, 12)], [pass('gull')]);

  it('lies where its ends are, stacked on the ground pick', () => {
    const at = painted(inlay, [0, 1, 2], 20);
    expect([at(2, 10), at(8, 10), at(20, 10)]).toEqual(['kelp', 'kelp', 'kelp']);
    expect([at(4, 30), at(5, 30), at(12, 30), at(13, 30)]).toEqual(['shed', 'rope', 'rope', 'shed']);
    expect([at(4, 36), at(14, 25)]).toEqual(['empty', 'empty']);
    expect(at(8, 50)).toBe('gull');
  });

  it('changes sides with the cloth', () => {
    const at = painted(inlay, [0, 1, 2], 20, true);
    // Seen from the back, end 5 of 24 stands where end 20 stood.
    expect([at(12, 30), at(13, 30), at(20, 30), at(21, 30)]).toEqual(['shed', 'rope', 'rope', 'shed']);
  });

  it('shares one strip with another beside it', () => {
    const at = painted(withPicks([pass('kelp', 1, 10), pass('rope', 11, 24)], [pass('gull')]), [0, 0, 1], 40);
    for (const height of [8, 20, 32]) expect([at(10, height), at(11, height)]).toEqual(['kelp', 'rope']);
    expect(at(10, 60)).toBe('gull');
  });

  it('shares it also where the beat leaves them a little apart, and picks are numbered, not passes', () => {
    const sample = withPicks([pass('kelp', 1, 10), pass('rope', 11, 24)], [pass('gull')], [pass('tar')]);
    const at = painted(sample, [0, 0.2, 1, 2], 30);
    expect([at(10, 10), at(11, 10)]).toEqual(['kelp', 'rope']);
    const numbered: string[] = [];
    painted(sample, [0, 0.2, 1, 2], 30, false, (number) => {
      numbered.push(String(number));
      return '';
    });
    // Room for every second: of picks that is 2 alone, of passes it would be 4 as well.
    expect(numbered).toEqual(['2']);
  });

  it('is told from others of its yarn, and named by its ends', () => {
    const cloth = sampleCloth(withPicks([pass('rope', 1, 4)], [pass('rope', 9, 12)], [pass('rope')]));
    if (!cloth.ok) throw new Error(cloth.trouble.why);
    const rows = rowKinds(cloth.value);
    expect(Array.from(rows.yarnOf, (kind) => rows.namesOf[kind])).toEqual([
      'rope, ends 1–4',
      'rope, ends 9–12',
      'rope',
    ]);
    const rope = cloth.value.namesOf.indexOf('rope');
    expect(rows.sourceOf).toEqual([rope, rope, rope]);
  });
});

describe('a yarn that changes colour along its length', () => {
  // 24 ends at 8 per cm are 30 mm: the first colour takes two thirds of a pick, the second one and a third.
  const colourRepeat = {
    lengthMm: 60,
    startMm: 0,
    stops: [
      { atMm: 0, colour: '#e6e0d0' },
      { atMm: 20, colour: '#3d6b7a' },
    ],
  };
  const plain = withPicks([pass('kelp')], [pass('kelp')], [pass('gull')]);
  const [first, second, third] = plain.picks;
  const back = { ...second, passes: [{ ...second.passes[0], enters: 'right' as const }] };
  const sample: Sample = {
    ...plain,
    picks: [first, back, third],
    yarns: { ...plain.yarns, kelp: { ...plain.yarns.kelp, colourRepeat } },
  };

  it('is seen so along its picks, to and fro, and from the back', () => {
    const at = painted(sample, [0, 1, 2], 20);
    expect([at(2, 10), at(15, 10), at(18, 10), at(23, 10)]).toEqual(['#e6e0d0', '#e6e0d0', '#3d6b7a', '#3d6b7a']);
    expect([at(2, 30), at(23, 30)]).toEqual(['#3d6b7a', '#3d6b7a']);
    expect(at(2, 50)).toBe('gull');
    const behind = painted(sample, [0, 1, 2], 20, true);
    expect([behind(2, 10), behind(23, 10)]).toEqual(['#3d6b7a', '#e6e0d0']);
  });
});

describe('where rows are too fine to tell', () => {
  const rowsOf = (...order: WeftPass[][]) => withPicks(...Array.from({ length: 20 }, () => order).flat());
  const positions = (count: number) => Array.from({ length: count }, (_, i) => i);

  it('a partial pass still lies at its ends, on the lanes of the others', () => {
    const at = painted(rowsOf([pass('kelp')], [pass('rope', 5, 12)]), positions(40), 2);
    expect([at(4, 30), at(5, 30), at(12, 30), at(13, 30)]).toEqual(['kelp', 'rope', 'rope', 'kelp']);
  });

  it('partial passes over the same ends take turns', () => {
    const at = painted(rowsOf([pass('rope', 5, 12)], [pass('gull', 9, 16)]), positions(40), 2);
    const seen = new Set(Array.from({ length: 40 }, (_, i) => at(10, 15 + i)));
    expect(seen).toEqual(new Set(['rope', 'gull']));
    expect(at(20, 30)).toBe('empty');
  });
});
