import { setsFromLists } from '#engine/draft/shaftSet.ts';
import { asked, cloths, ENDS, LIMIT_MM, PICKS, SHAFTS, threading } from '#tests/helpers/checkBenchCloths.ts';
import { CheckClient } from '#workers/checkClient.ts';

/**
 * Times of the checks and of the loom fit in the page's own worker, one line of JSON each: asked the moment the worker is
 * started, and once it has practised, which it does by itself while the first cloth settles. Way there and back included.
 */
const result = document.getElementById('result') as HTMLElement;
const lines: string[] = [];
const rounded = (ms: number): number => Math.round(10 * ms) / 10;

function say(line: Record<string, number | string>): void {
  lines.push(JSON.stringify(line));
  result.textContent = lines.join('\n');
}

async function timed<Answer>(ask: () => Promise<Answer>): Promise<number> {
  const start = performance.now();
  await ask();
  return rounded(performance.now() - start);
}

/** Longer than a worker practises on any machine that these pages are timed on. */
const PRACTISED_MS = 6000;

async function timeChecks(): Promise<void> {
  for (const [name, cloth] of Object.entries(cloths)) {
    const check = (client: CheckClient) => () => client.ask({ kind: 'check', cloth, floatLimitMm: LIMIT_MM });
    const fresh = new CheckClient();
    const freshMs = await timed(check(fresh));
    fresh.dispose();
    const client = new CheckClient();
    await new Promise((resolve) => setTimeout(resolve, PRACTISED_MS));
    const first = await timed(check(client));
    const later: number[] = [];
    for (let k = 0; k < 5; k++) later.push(await timed(check(client)));
    client.dispose();
    say({ checks: name, ends: ENDS, picks: PICKS, freshMs, practisedMs: first, laterMs: later.join(' ') });
  }
}

async function timeFits(): Promise<void> {
  const ties = Array.from({ length: 20 }, (_, k) =>
    [1, 5, 11, 16].map((step) => ((k * 7 + step * (k + 1)) % SHAFTS) + 1),
  );
  const tieUp = {
    shafts: SHAFTS,
    shed: 'rising',
    treadles: setsFromLists(ties, SHAFTS, 'shaft', 'treadle'),
  } as const;
  for (const [name, more] of [
    ['to the threading', {}],
    ['to 20 treadles, any at once', { tieUp }],
  ] as const) {
    const client = new CheckClient();
    const ask = () => client.ask({ kind: 'fit', drawdown: asked, shafts: SHAFTS, threading, ...more });
    const freshMs = await timed(ask);
    const laterMs = await timed(ask);
    client.dispose();
    say({ fit: name, freshMs, laterMs });
  }
}

// The page counts as loaded only once all is done.
const holding = document.createElement('iframe');
document.body.append(holding);
holding.contentDocument?.open();
try {
  await timeChecks();
  await timeFits();
} catch (error) {
  say({ failed: error instanceof Error ? error.message : String(error) });
}
holding.contentDocument?.close();
holding.remove();
