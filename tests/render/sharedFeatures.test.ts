import { describe, expect, it } from 'vitest';
import { Feature } from '#render/programFeatures.ts';
import { SharedFeatures } from '#render/sharedFeatures.ts';

const { hair, mesh, tight, clear, lobed, relief } = Feature;

describe('pictures that are drawn once', () => {
  it('share what those before have asked for', () => {
    const shared = new SharedFeatures();
    expect(shared.with(hair)).toBe(hair);
    expect(shared.with(relief | lobed)).toBe(hair | relief | lobed);
    expect(shared.with(0)).toBe(hair | relief | lobed);
  });

  it('do not walk through one another’s nets, tight bends and clear threads', () => {
    const shared = new SharedFeatures();
    shared.with(hair);
    expect(shared.with(mesh)).toBe(mesh);
    expect(shared.with(clear | lobed)).toBe(clear | lobed);
    expect(shared.with(tight | relief)).toBe(tight | relief);
    expect(shared.with(tight | mesh)).toBe(tight | mesh);
    expect(shared.with(lobed)).toBe(hair | lobed);
    expect(shared.with(mesh | lobed)).toBe(mesh | lobed);
    expect(shared.with(tight)).toBe(tight | relief);
  });
});
