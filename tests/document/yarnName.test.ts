import { describe, expect, test } from 'vitest';
import { renameVersion } from '#document/commands/versionCommands.ts';
import { renameYarn, setYarnCount } from '#document/commands/yarnCommands.ts';
import type { YarnCard } from '#document/schema/yarnSchema.ts';
import { createSampleStore } from '#document/store/sampleStore.ts';
import { yarnOfCount } from '#document/yarnOfCount.ts';
import { cottonCard, smallSample } from './smallSample.ts';

function named(name: string, count: string | undefined = 'Ne 8/2'): YarnCard {
  return { ...(cottonCard('sand', '#d9c7a0') as YarnCard), name, count };
}

describe('a name that tells the count', () => {
  test('says what it was once only the tex is another', () => {
    const thinner = yarnOfCount(named('sand, cotton 8/2'), 60);
    expect(thinner.name).toBe('sand, cotton, 60 tex (was 8/2)');
    expect(yarnOfCount(thinner, 71.43).name).toBe('sand, cotton, 71.4 tex (was 8/2)');
  });

  test('follows a new label', () => {
    expect(yarnOfCount(named('cotton 8/2'), 393.7, 'Ne 3/2').name).toBe('cotton 3/2');
    expect(yarnOfCount(named('cotton 8/2'), 71.4, 'Nm 28/2').name).toBe('cotton Nm 28/2');
    expect(yarnOfCount(named('merino Nm 28/2', 'Nm 28/2'), 100, 'Nm 20/2').name).toBe('merino Nm 20/2');
    expect(yarnOfCount(yarnOfCount(named('cotton 8/2'), 60), 118.1, 'Ne 10/2').name).toBe('cotton 10/2');
  });

  test.each([
    ['mooring cord, cotton 2 mm', '2 mm', 'mooring cord, cotton, 60 tex (was 2 mm)'],
    ['organza strip 20 mm', '20 mm wide', 'organza strip, 60 tex (was 20 mm)'],
    ['acetate filament 150 den', '150 den / 38 fil', 'acetate filament, 60 tex (was 150 den)'],
    ['linen single 20', 'lea 20/1', 'linen single, 60 tex (was 20)'],
    ['sewing thread tex 40', 'Tkt 75', 'sewing thread, 60 tex (was tex 40)'],
    ['paper yarn fine (tex 100)', 'Nm 10/1', 'paper yarn fine, 60 tex (was tex 100)'],
    ['cotton carpet warp 8/4', undefined, 'cotton carpet warp, 60 tex (was 8/4)'],
  ])('%s, labelled %s: %s', (name, count, then) => {
    expect(yarnOfCount(named(name, count), 60).name).toBe(then);
  });

  test('stays where it tells none, and where the designer gave it', () => {
    expect(yarnOfCount(named('gull'), 60).name).toBe('gull');
    const store = createSampleStore(smallSample());
    store.dispatch(renameYarn({ yarn: 'kelp', name: 'the 8/2 from the loft' }));
    store.dispatch(setYarnCount({ yarn: 'kelp', tex: 60 }));
    expect(store.state.getState().sample.yarns.kelp.name).toBe('the 8/2 from the loft');
    store.undo();
    store.undo();
    expect(store.state.getState().sample).toEqual(smallSample());
  });
});

describe('a kept version', () => {
  test('takes a name that no other has, and undo gives the old one back', () => {
    const store = createSampleStore(smallSample());
    expect(store.dispatch(renameVersion({ version: 1, name: '  too open ' }))).toBeNull();
    expect(store.state.getState().sample.versions[0].name).toBe('too open');
    expect(store.state.getState().sample.versions[0].note).toBe('for the window');
    expect(store.state.getState().undoName).toBe('call "looser" "too open"');
    expect(store.dispatch(renameVersion({ version: 1, name: ' ' }))?.message).toMatch(/is empty/);
    expect(store.dispatch(renameVersion({ version: 2, name: 'x' }))?.message).toMatch(/no version 2/);
    store.undo();
    expect(store.state.getState().sample.versions[0].name).toBe('looser');
  });
});
