import { describe, expect, it } from 'vitest';
import { problemAt } from '#document/problem.ts';
import { readOpenedFile } from '#io/openFile.ts';

const noYarn = async () => ({ ok: false as const, problems: [problemAt([], 'is not there', 'fetch it')] });
const told = async (name: string, bytes: readonly number[] | string) => {
  const outcome = await readOpenedFile(
    new File([typeof bytes === 'string' ? bytes : Uint8Array.from(bytes)], name),
    noYarn,
  );
  return outcome.ok ? 'opened' : outcome.problems.map(({ message }) => message).join(' ');
};

describe('a file that is none of ours is named for what it is', () => {
  it('a photograph, a damaged picture, a picture of another kind, a file of no text', async () => {
    expect(await told('swatch.jpg', [0xff, 0xd8, 0xff, 0xe0, 0, 16])).toMatch(/photograph.*drawdown.*PNG/);
    // By its contents, whatever it is called.
    expect(await told('swatch.json', [0xff, 0xd8, 0xff, 0xe0, 0, 16])).toMatch(/photograph/);
    expect(await told('swatch.png', 'no picture')).toMatch(/damaged.*Choose a sample/);
    expect(await told('swatch.webp', 'RIFF')).toMatch(/another kind/);
    expect(await told('notes.json', [0x50, 0x4b, 3, 4, 0, 0, 8])).toMatch(/no plain text/);
  });

  it('text goes on to be read as a sample', async () => {
    expect(await told('broken.json', '{"format":')).toMatch(/JSON/);
    expect(await told('other.json', '{"format":"kites","version":1}')).toMatch(/format/i);
  });
});
