import { describe, expect, it } from 'vitest';
import { weaveStructure } from '#document/notation/weaveDraft.ts';
import { forecastCloth } from '#engine/cloth/forecast/forecastCloth.ts';
import type { Drawdown } from '#engine/draft/drawdown.ts';
import { plainWeave } from '#engine/weave/basicWeaves.ts';
import { yarnBody } from '#engine/yarn/yarnBody.ts';
import { type YarnRecord, yarnFactsOf } from '#engine/yarn/yarnRecord.ts';
import type { YarnBody } from '#engine/yarn/yarnTypes.ts';
import { readWeaveCard } from '#io/cardFiles.ts';
import cottonCard from '#presets/yarns/cotton-8-2.json';
import elasticCard from '#presets/yarns/elastane-covered-156.json';
import tweedCard from '#presets/yarns/shetland-single.json';
import { finish } from '#tests/helpers/finish.ts';
import { clothProblem } from '#tests/helpers/problems.ts';
import { demand, filesOf } from '#tests/presets/presetFiles.ts';

const bodyOf = (card: object, more: object = {}): YarnBody =>
  yarnBody({ ...yarnFactsOf(card as unknown as YarnRecord), ...more });
const cotton = bodyOf(cottonCard);

function uncertainIn(weave: Drawdown, warp: YarnBody, weft: YarnBody) {
  const rows = Math.max(40, 2 * weave.rows + 9);
  const ends = Math.max(40, 2 * weave.ends + 1);
  const problem = clothProblem({ weave, rows, ends, endsPerCm: 8, warp: [warp], weft: [weft], firmness: 0.5 });
  const wanted = { state: 'finished', treatment: 'handWashed' } as const;
  return finish(forecastCloth(problem, 'preview', {}, wanted)).readings.uncertain;
}

const weaveOf = (id: string): Drawdown => {
  const { text } = filesOf('weaves').find((file) => file.id === id)!;
  return demand(weaveStructure(demand(readWeaveCard(JSON.parse(text))))).drawdown;
};

describe('threads that curve', () => {
  // Common practice: these are the weaves whose threads are woven to leave their lines.
  it.each(['huck', 'huckaback', 'lace', 'honeycomb', 'deflected-double', 'waffle'])('are told of in %s', (id) => {
    const deflection = uncertainIn(weaveOf(id), cotton, cotton)?.deflection;
    expect(deflection?.endsMm.value).toBeGreaterThan(0.2);
    expect(deflection?.picksMm.value).toBeGreaterThan(0.2);
  });

  it.each(['plain', 'twill-2-2', 'satin-5', 'satin-8', 'hopsack-2-2', 'warp-rib-2-2', 'double-plain'])(
    'are not in %s',
    (id) => void expect(uncertainIn(weaveOf(id), cotton, cotton)).toBeUndefined(),
  );
});

describe('yarns that draw the cloth together', () => {
  it('are singles twisted as hard as crepe, by turns times the root of the count, and not the same as a ply', () => {
    // Cotton twist multipliers: 4 for warp, 7 for crepe (common practice); turns/in = TM √Ne with Ne = 590.5 / tex.
    const turns = (multiplier: number) => (multiplier * Math.sqrt(590.5 / tweedCard.tex)) / 0.0254;
    const single = (multiplier: number, plies = 1) =>
      bodyOf(tweedCard, { plies, twistTurnsPerM: [turns(multiplier), turns(multiplier)] });
    expect(uncertainIn(plainWeave(), cotton, single(7))?.collapse).toMatchObject({
      why: 'twist',
      along: false,
      across: true,
    });
    expect(uncertainIn(plainWeave(), cotton, single(4))).toBeUndefined();
    expect(uncertainIn(plainWeave(), cotton, single(7, 2))).toBeUndefined();
  });

  it('are elastic ones, in whichever system they lie', () => {
    const elastic = bodyOf(elasticCard);
    expect(uncertainIn(plainWeave(), cotton, elastic)?.collapse).toMatchObject({ why: 'elastic', across: true });
    expect(uncertainIn(plainWeave(), elastic, cotton)?.collapse).toMatchObject({ why: 'elastic', along: true });
  });
});
