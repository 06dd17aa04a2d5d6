import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { StillOptions } from '#app/still/still.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { finish } from '#tests/helpers/finish.ts';

interface Job {
  readonly title: string;
  readonly sample: unknown;
  readonly views: readonly StillOptions[];
  readonly files: readonly string[];
}

const SCRIPT = '.config/scripts/materials.mjs';

function jobs(...options: string[]): Job[] {
  const folder = mkdtempSync(join(tmpdir(), 'forecloth-jobs-'));
  const file = join(folder, 'jobs.json');
  try {
    execFileSync(process.execPath, [SCRIPT, '--jobs', file, ...options], { stdio: 'pipe' });
    return JSON.parse(readFileSync(file, 'utf8')) as Job[];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const all = jobs();

describe('what the sheets of materials draw', () => {
  test('every material in plain and sateen; near and far, face and back, square and turned, one scale each', () => {
    expect(all.length).toBeGreaterThan(70);
    const files = all.flatMap((job) => job.files);
    expect(new Set(files).size).toBe(files.length);
    for (let k = 0; k < all.length; k += 2) {
      const [plain, sateen] = all.slice(k, k + 2);
      expect([plain.title, sateen.title]).toEqual([
        expect.stringMatching(/, plain$/),
        plain.title.replace(/plain$/, 'sateen'),
      ]);
      for (const { views, files: names } of [plain, sateen]) {
        expect(names).toHaveLength(8);
        expect(views.map(({ side, view }) => `${side} ${view}`)).toEqual(
          Array(2).fill(['face square', 'face turned', 'back square', 'back turned']).flat(),
        );
      }
      expect(new Set([...plain.views, ...sateen.views].map(({ mmPerPx }) => mmPerPx)).size).toBe(2);
    }
  });

  test.each(all.map((job) => [job.title, job] as const))('%s is woven, and forecast in a preview', (_title, job) => {
    const sample = readSampleText(JSON.stringify(job.sample));
    if (!sample.ok) throw new Error(sample.problems.map(({ message }) => message).join('\n'));
    const cloth = sampleCloth(sample.value);
    if (!cloth.ok) throw new Error(cloth.trouble.why);
    const { readings, geometry } = finish(forecastCloth(cloth.value.problem, 'preview'));
    expect(geometry.rows).toBe(sample.value.picks.length);
    // A minute of arc at 2 m: the cloth fills that picture, and no less.
    const far = job.views[4];
    expect(readings.widthMm.value).toBeGreaterThan(far.width * far.mmPerPx!);
    expect(readings.lengthMm.value).toBeGreaterThan(far.height * far.mmPerPx!);
  });

  test('near pictures at the size asked for show as many mm; --only names materials', () => {
    const [plain] = jobs('--only', 'linen', '--size', '352x264', '--blind');
    const same = all.find(({ title }) => title === plain.title)!;
    expect(plain.files).toHaveLength(4);
    for (const { width, height, mmPerPx } of plain.views) {
      expect([width, height]).toEqual([352, 264]);
      expect(width * mmPerPx!).toBeCloseTo(same.views[0].width * same.views[0].mmPerPx!, 9);
    }
  });

  test('an unknown material is named, with where to find those known', () => {
    expect(() => jobs('--only', 'linen,sea-serpent')).toThrow(/sea-serpent.*--list/s);
  });
});
