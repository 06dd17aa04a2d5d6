import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { cdp, page, userEvent } from 'vitest/browser';
import { setBeat } from '#document/commands/beatCommands.ts';
import { renameSample } from '#document/commands/sampleCommands.ts';
import { smallSample } from '#tests/document/smallSample.ts';
import { type LaidTable, layTable, until, withoutWebGl2 } from './layTable.tsx';

let laid: LaidTable;
let giveBack: () => void;
const ui = () => laid.table.ui.getState();
const cloth = () => document.querySelector<HTMLElement>('.cloth-panel')!;
const there = (selector: string) => until(`there is ${selector}`, () => document.querySelector(selector) !== null);
const focus = (selector: string) => document.querySelector<HTMLElement>(selector)!.focus();
const named = (words: string) =>
  [...document.querySelectorAll<HTMLElement>('button')].find(({ textContent }) => textContent!.startsWith(words))!;
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

beforeEach(async () => {
  localStorage.clear();
  document.documentElement.lang = 'en-GB';
  await page.viewport(1280, 900);
  giveBack = withoutWebGl2();
  laid = await layTable(smallSample());
  await laid.table.forecast.settled();
  await there('[aria-label="Yarns in this sample"] [role=row]');
});

afterEach(async () => {
  await laid.clear();
  giveBack();
});

interface HeardNode {
  readonly ignored: boolean;
  readonly role?: { readonly value: string };
  readonly name?: { readonly value: string };
  readonly properties?: readonly { readonly name: string; readonly value: { readonly value?: unknown } }[];
}

/** The page as a screen reader gets it from the browser. */
async function heard(): Promise<readonly HeardNode[]> {
  const session = cdp() as unknown as {
    send(what: 'Accessibility.getFullAXTree'): Promise<{ nodes: readonly HeardNode[] }>;
  };
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  return nodes.filter(({ ignored }) => !ignored);
}

describe('what is heard', () => {
  it('the cloth says which it is, its side, state, distance and light, and what its keys do apart from that', () => {
    expect(cloth().getAttribute('aria-label')).toBe(
      'The cloth, quay edge: face towards you, on the loom, close up, light: Window.',
    );
    expect(document.getElementById(cloth().getAttribute('aria-describedby')!)!.textContent).toContain('Arrows tilt it');
  });

  it('the cloth says so when it is turned, held off, lit otherwise and taken off the loom', async () => {
    ui().turnOver();
    ui().holdAt(2000);
    ui().prefer({ light: 'raking' });
    ui().showState('offLoom');
    await until('it is said', () =>
      cloth()
        .getAttribute('aria-label')!
        .endsWith('back towards you, off the loom, seen from 2 m, light: Raking lamp.'),
    );
  });

  it('everything that can be reached by keys has a name', async () => {
    const bare = (await heard())
      .filter(({ properties }) => properties?.some(({ name, value }) => name === 'focusable' && value.value === true))
      .filter(({ name }) => !name?.value.trim())
      .map(({ role }) => role?.value);
    // The frame that the test's own page is laid in has none.
    expect(bare.filter((role) => role !== 'Iframe' && role !== 'RootWebArea')).toEqual([]);
  });

  it('a side and a state are told once the hand rests, not at every press on the way', async () => {
    const told = () => document.querySelector('.cloth-told')!.textContent!;
    const words: string[] = [];
    const watching = new MutationObserver(() => words.push(told()));
    watching.observe(document.querySelector('.cloth-told')!, { childList: true, subtree: true, characterData: true });
    cloth().focus();
    await userEvent.keyboard('ttt');
    await until('it is told', () => told() === 'Back towards you.');
    await userEvent.keyboard('s');
    await until('the state is told', () => told() === 'Off the loom.');
    watching.disconnect();
    expect(words).toEqual(['Back towards you.', 'Off the loom.']);
  });

  it('work of a second is not spoken of, nor its steps, nor that each step was saved', async () => {
    const words: string[] = [];
    const watching = new MutationObserver((changes) => {
      for (const { target } of changes) {
        const region = (target instanceof Element ? target : target.parentElement)?.closest('[role=status]');
        if (region?.textContent) words.push(region.textContent);
      }
    });
    watching.observe(document.body, { childList: true, subtree: true, characterData: true });
    const { forecast, samples } = laid.table;
    // Half a second, whatever the machine.
    forecast.state.setState({ status: 'working', progress: { stage: 'heights', share: 0.2 } });
    await pause(250);
    forecast.state.setState({ progress: { stage: 'readings', share: 0.9 } });
    await pause(250);
    forecast.state.setState({ status: 'settled', progress: undefined });
    // A name changes nothing of the cloth.
    samples.dispatch(renameSample('fog edge'));
    await pause(300);
    watching.disconnect();
    // It is told once that this table keeps nothing.
    expect(words.filter((each) => !each.startsWith('This browser keeps nothing'))).toEqual([]);
  });
});

describe('the focus is not lost', () => {
  it.each([
    ['d', '.draft-scroller'],
    ['a', '.after-add button'],
    ['w', '.weaves button'],
  ])(
    'where a drawer is closed by its key (%s) from within: it goes back to where it came from',
    async (key, within) => {
      cloth().focus();
      await userEvent.keyboard(key);
      await there(within);
      focus(within);
      expect(document.activeElement).not.toBe(cloth());
      await userEvent.keyboard(key);
      await until('it is back', () => document.activeElement === cloth());
    },
  );

  it('where a message is closed, and where names are written and left', async () => {
    cloth().focus();
    ui().say('Fog on the breakwater.', { stays: true });
    await there('.notice-close');
    focus('.notice-close');
    await userEvent.keyboard('{Enter}');
    await until('it is back on the cloth', () => document.activeElement === cloth());
    laid.table.keepVersion();
    await until('it can be named', () => named('Name…') !== undefined);
    named('Name…').focus();
    await userEvent.keyboard('{Enter}');
    await there('.version-name');
    await userEvent.keyboard('{Escape}');
    await until('it is back on Name…', () => document.activeElement === named('Name…'));
  });

  it('where a treatment is left out and a yarn is done with', async () => {
    ui().toggleAfter();
    await there('.after-add button');
    named('Over-dye').focus();
    await userEvent.keyboard('{Enter}');
    await until('it is on what was added', () => document.activeElement!.matches('.treatments .treatment-head'));
    named('Leave out').focus();
    await userEvent.keyboard('{Enter}');
    await until('it is back on what added it', () => document.activeElement === named('Over-dye'));
    const yarn = document.querySelector<HTMLElement>('[aria-label="Yarns in this sample"] button')!;
    yarn.focus();
    await userEvent.keyboard('{Enter}');
    await there('.yarn-details');
    [...document.querySelectorAll<HTMLElement>('.yarn-details button')]
      .find(({ textContent }) => /^(Close|Done)/.test(textContent!))!
      .focus();
    await userEvent.keyboard('{Enter}');
    await until('it is back at the yarn', () => document.activeElement?.closest('[role=grid]') != null);
  });

  it.each(['Plan…', 'Begin…', 'Picture…', 'Keys', 'A yarn of your own…'])(
    'where the sheet %s is closed by Escape',
    async (name) => {
      const button = named(name);
      button.focus();
      await userEvent.keyboard('{Enter}');
      await there('dialog[open]');
      await until('it is within', () => document.activeElement?.closest('dialog') !== null);
      await userEvent.keyboard('{Escape}');
      await until('it is back', () => document.activeElement === button);
    },
  );

  it('where a button goes dead under a held key: beside it, once the key is let go', async () => {
    laid.table.samples.dispatch(setBeat({ firmness: 0.3 }));
    const undo = named('Undo') as HTMLButtonElement;
    await until('there is a step back', () => !undo.disabled);
    named('Keys').focus();
    undo.focus();
    await userEvent.keyboard('{Enter>}');
    await until('it is dead', () => undo.disabled);
    await pause(300);
    expect([undo, document.body]).toContain(document.activeElement);
    await userEvent.keyboard('{/Enter}');
    await until('it is beside it', () => document.activeElement === named('Redo'));
    expect(document.querySelector('dialog[open]')).toBeNull();
  });

  it.each(['[aria-label="Yarns in this sample"] button', '.after-add button'])(
    'where the page is laid otherwise for a narrower window, on %s',
    async (selector) => {
      ui().toggleAfter();
      await there('.after-add button');
      await page.viewport(1000, 900);
      const place = document.querySelector<HTMLElement>(selector)!;
      place.focus();
      await page.viewport(800, 900);
      await until('the shelf stands below the tools', () => {
        const order = document
          .querySelector('.bottom-edge')!
          .compareDocumentPosition(document.querySelector('.shelf')!);
        return (order & Node.DOCUMENT_POSITION_FOLLOWING) > 0;
      });
      await until('it is where it was', () => document.activeElement === place, 5000);
    },
  );

  it('but stays nowhere for who pressed beside everything', async () => {
    named('Keys').focus();
    await userEvent.click(document.querySelector('.readings h2, .readings h3')!);
    expect(document.activeElement).not.toBe(named('Keys'));
    const left = document.activeElement;
    ui().say('Fog.');
    ui().say('');
    await pause(200);
    expect(document.activeElement).toBe(left);
  });
});
