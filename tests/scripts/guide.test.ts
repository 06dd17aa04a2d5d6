import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { sampleCloth } from '#app/model/sampleCloth.ts';
import type { StillOptions } from '#app/still/still.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { Readings } from '#engine/cloth/forecast/readings.ts';
import type { ClothState } from '#engine/cloth/states/stateTypes.ts';
import { readSampleText } from '#io/sampleFile.ts';
import { finish } from '#tests/helpers/finish.ts';

interface Panel {
  readonly title: string;
  readonly sample: unknown;
  readonly views: readonly StillOptions[];
}

function panels(): Panel[] {
  const folder = mkdtempSync(join(tmpdir(), 'forecloth-guide-'));
  const file = join(folder, 'jobs.json');
  try {
    execFileSync(process.execPath, ['.config/scripts/guidePictures.mjs', '--jobs', file], { stdio: 'pipe' });
    return JSON.parse(readFileSync(file, 'utf8')) as Panel[];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const taken = new Map<string, Readings>();

/** Both sides and near pictures of one sample are one forecast. */
function readingsOf({ sample, views }: Panel): Readings {
  const state: ClothState = views[0].state ?? 'onLoom';
  const key = `${state} ${JSON.stringify(sample)}`;
  const before = taken.get(key);
  if (before) return before;
  const read = readSampleText(JSON.stringify(sample));
  if (!read.ok) throw new Error(read.problems.map(({ message }) => message).join('\n'));
  const cloth = sampleCloth(read.value);
  if (!cloth.ok) throw new Error(cloth.trouble.why);
  const treatment = read.value.finish?.treatment ?? 'none';
  const { readings } = finish(forecastCloth(cloth.value.problem, 'preview', {}, { state, treatment }));
  taken.set(key, readings);
  return readings;
}

const all = panels();
const guide = readFileSync('docs/guide.md', 'utf8');
const readme = readFileSync('README.md', 'utf8');
const named = (name: string) => all.filter(({ title }) => title.startsWith(`${name},`));

describe('the pictures of the guide', () => {
  test.each(all.map((panel) => [panel.title, panel] as const))(
    '%s is woven, and its picture is shown',
    (title, panel) => {
      const { widthMm, lengthMm } = readingsOf(panel);
      expect(widthMm.value).toBeGreaterThan(20);
      expect(lengthMm.value).toBeGreaterThan(20);
      const file = `pictures/${title.split(',')[0]}.jpg`;
      expect(`${guide}${readme}`).toMatch(new RegExp(`[(/]${file.replace('.', '\\.')}\\)`));
      expect(existsSync(`docs/${file}`)).toBe(true);
    },
  );

  test('show three beats with the picks to the cm that their caption names', () => {
    const caption = /beaten loosely, in the middle and firmly: ([\d.]+), ([\d.]+) and ([\d.]+) picks to the cm/.exec(
      guide,
    );
    const told = caption?.slice(1).map(Number) ?? [];
    const woven = named('beat-loose-medium-firm').map((panel) => readingsOf(panel).picksPerCm.value);
    expect(told).toHaveLength(3);
    for (const [k, picks] of woven.entries()) expect(Math.abs(picks / told[k] - 1)).toBeLessThan(0.03);
  });
});
