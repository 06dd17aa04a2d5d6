import { describe, expect, it } from 'vitest';
import { hairOfStrands } from '#engine/yarn/bundleHair.ts';
import { yarnHair } from '#engine/yarn/hair.ts';
import type { YarnRecord } from '#engine/yarn/yarnRecord.ts';
import { readAllYarnPresets } from '#io/presets.ts';

const presets = await readAllYarnPresets();
const preset = (id: string): YarnRecord => presets.find((each) => each.id === id)!;

describe('hair of the shelf’s yarns', () => {
  it('film, wire, filament and monofilament have none; spun, brushed and piled yarns do', () => {
    for (const id of [
      'metal-film-1-64',
      'wire-steel-0.1',
      'rayon-filament-300',
      'mono-nylon-0.20',
      'holo-film-strip-3x50',
    ]) {
      expect(yarnHair(preset(id)), id).toBeUndefined();
    }
    for (const id of [
      'cotton-8-2',
      'merino-nm-28-2',
      'mohair-brushed',
      'cotton-chenille-1.7',
      'linen-20-1',
      'viscose-10-2',
    ]) {
      expect(yarnHair(preset(id)), id).toBeDefined();
    }
  });

  it('every yarn that has hair has numbers that can be drawn', () => {
    let some = 0;
    for (const record of presets) {
      const hair = yarnHair(record);
      if (!hair) continue;
      some++;
      expect(hair.perMm, record.id).toBeGreaterThan(0.1);
      expect(hair.perMm, record.id).toBeLessThan(1000);
      expect(hair.meanLengthMm, record.id).toBeLessThanOrEqual(hair.longestMm);
      expect(hair.heightMm, record.id).toBeGreaterThan(0);
      expect(hair.diameterMm, record.id).toBeGreaterThan(0.008);
      expect(hair.coreShare, record.id).toBeLessThanOrEqual(1);
    }
    expect(some).toBeGreaterThan(40);
  });

  it('a ring-spun cotton single of 20 tex has a hairiness index of 4 to 8 (from memory of yarn testing)', () => {
    const hair = yarnHair({ ...preset('cotton-8-2'), tex: 20, plies: 1 })!;
    const index = hair.perMm * hair.meanLengthMm;
    expect(index).toBeGreaterThanOrEqual(4);
    expect(index).toBeLessThanOrEqual(8);
  });

  it('goes the way of the trade: mercerised < carded cotton < woollen < brushed mohair, by length of hair a mm', () => {
    const index = ['cotton-20-2', 'cotton-8-2', 'shetland-single', 'mohair-brushed'].map((id) => {
      const hair = yarnHair(preset(id))!;
      return hair.perMm * hair.meanLengthMm;
    });
    expect([...index].sort((a, b) => a - b)).toEqual(index);
  });

  // Gassing burns off most of what stands out; spun silk is gassed as mercerised cotton is (common practice).
  it('a singed yarn keeps less than half of its hair', () => {
    const index = (record: YarnRecord) => {
      const hair = yarnHair(record)!;
      return hair.perMm * hair.meanLengthMm;
    };
    const mercerised = preset('cotton-5-2');
    expect(index(mercerised)).toBeLessThan(0.5 * index({ ...mercerised, fibre: 'cotton' }));
    const silk = preset('silk-20-2');
    expect(index(silk)).toBeLessThan(0.5 * index({ ...silk, name: 'silk 20/2' }));
  });

  it('loose fibre keeps together in wisps, a few hundredths to a fifth of its mass, that lie within half a body’s width of it', () => {
    const record = preset('loose-fibre-inlay');
    const hair = yarnHair(record)!;
    const tex =
      hair.perMm * hair.meanLengthMm * (Math.PI / 4) * hair.diameterMm ** 2 * 0.4 * record.fibreDensityGPerCm3;
    expect((1000 * tex) / record.tex).toBeGreaterThan(0.02);
    expect((1000 * tex) / record.tex).toBeLessThan(0.2);
    expect(hair.heightMm).toBeLessThan(record.freeWidthMm! / 2);
  });

  it('a chenille’s locks hold its pile’s mass', () => {
    const record = preset('cotton-chenille-1.7');
    const hair = yarnHair(record)!;
    // Half of a lock's section is fibre; its fibres spread towards the tip, so the taper takes none of them.
    const volume = hair.perMm * hair.meanLengthMm * (Math.PI / 4) * hair.diameterMm ** 2 * 0.5;
    const tex = volume * record.fibreDensityGPerCm3 * 1000;
    expect(tex / record.tex).toBeCloseTo(0.6, 2);
  });

  // Zweigle's S3 counts and those of 1 mm, from memory of yarn testing: ring-spun cotton has 50 to 300 hairs of 1 mm to the
  // metre in the finest counts and some thousand in coarse folded yarns; of 3 mm a fiftieth of that or less.
  it('of cotton’s hairs few stand off as far as across a gap: hundreds of 1 mm to the metre, some ten of 3 mm', () => {
    const hair = yarnHair(preset('cotton-8-2'))!;
    const toTheMetre = (lengthMm: number) => 1000 * hair.perMm * Math.exp(-lengthMm / hair.meanLengthMm);
    expect(toTheMetre(1)).toBeGreaterThan(100);
    expect(toTheMetre(1)).toBeLessThan(2500);
    expect(toTheMetre(3)).toBeLessThan(30);
    expect(hair.meanLengthMm).toBeGreaterThanOrEqual(0.2);
    expect(hair.meanLengthMm).toBeLessThanOrEqual(0.8);
  });

  // From memory: of brushed mohair 20–40 % of the mass stands off its core, some hundreds of hairs to the cm.
  it('brushed mohair has some hundreds of hairs to the 100 mm² of its halo, and a third of its mass in them', () => {
    const record = preset('mohair-brushed');
    const hair = yarnHair(record)!;
    const tex =
      hair.perMm * hair.meanLengthMm * (Math.PI / 4) * hair.diameterMm ** 2 * record.fibreDensityGPerCm3 * 1000;
    expect(tex / record.tex).toBeGreaterThan(0.2);
    expect(tex / record.tex).toBeLessThan(0.4);
    expect(10 * hair.perMm).toBeGreaterThan(50);
    expect(hair.coreShare).toBeLessThan(0.9);
  });

  it('gimp’s knobs stand close round its core where bouclé’s loops stand off it (common practice)', () => {
    const stands = (id: string) => {
      const { heightMm, diameterMm } = yarnHair(preset(id))!;
      return heightMm / diameterMm;
    };
    expect(yarnHair(preset('cotton-gimp'))!.form).toBe('loop');
    expect(stands('cotton-gimp')).toBeLessThan(2);
    for (const id of ['cotton-boucle', 'viscose-boucle'])
      expect(stands(id), id).toBeGreaterThan(2 * stands('cotton-gimp'));
    // Two wraps of 120 tex, 0.45 mm thick, round a core of 0.3 mm, 8 turns a cm each, as the card says: a helix on a
    // cylinder of 0.75 mm takes sqrt(1 + (pi 0.75 0.8)^2) of thread to its own length.
    const { diameterMm, perMm, meanLengthMm, coreShare, heightMm } = yarnHair(preset('cotton-gimp'))!;
    expect(Math.abs(diameterMm / 0.45 - 1)).toBeLessThan(0.03);
    // What is drawn as body and a wrap on either side of it make the free width, with the core well within.
    expect(coreShare * 1.2 + 2 * heightMm).toBeCloseTo(1.2, 6);
    expect(coreShare * 1.2).toBeGreaterThan(0.3);
    expect(Math.abs((perMm * meanLengthMm) / (2 * Math.hypot(1, Math.PI * 0.75 * 0.8)) - 1)).toBeLessThan(0.03);
  });

  it('brushed wool has a halo: more hair than as spun, shorter than mohair’s (common practice)', () => {
    const [spun, brushed, mohair] = ['woollen-2ply', 'wool-brushed-2ply', 'mohair-brushed'].map(
      (id) => yarnHair(preset(id))!,
    );
    expect(brushed.perMm * brushed.meanLengthMm).toBeGreaterThan(3 * spun.perMm * spun.meanLengthMm);
    expect(brushed.longestMm).toBeLessThan(mohair.longestMm);
    // What stands off and what is left within are its whole mass.
    const { tex, fibreDensityGPerCm3 } = preset('wool-brushed-2ply');
    const hairTex =
      brushed.perMm * brushed.meanLengthMm * (Math.PI / 4) * brushed.diameterMm ** 2 * fibreDensityGPerCm3 * 1000;
    expect(hairTex / tex + brushed.coreShare ** 2).toBeCloseTo(1, 6);
  });

  it('loop yarns are drawn up by the length that is fed in beyond their own', () => {
    for (const id of ['cotton-boucle', 'viscose-boucle', 'mohair-loop']) {
      const hair = yarnHair(preset(id))!;
      expect(hair.form, id).toBe('loop');
      // Effect strands of loop yarns run in at 1.5 to 3 times the core (from memory).
      // Two strands lie together; those of mohair open into tresses, which hold a strand's mass between them.
      const tresses = id === 'mohair-loop' ? 7 : 1;
      expect(1 + (hair.perMm * hair.meanLengthMm) / 2 / tresses, id).toBeGreaterThanOrEqual(1.5);
      expect(1 + (hair.perMm * hair.meanLengthMm) / 2 / tresses, id).toBeLessThanOrEqual(3);
      // What stands off is a share of six tenths of the mass.
      const stands = hair.perMm * hair.meanLengthMm * (Math.PI / 4) * hair.diameterMm ** 2 * 0.5;
      expect((1000 * stands * preset(id).fibreDensityGPerCm3) / preset(id).tex, id).toBeCloseTo(0.36, 2);
      expect(hair.diameterMm, id).toBeLessThan(preset(id).freeWidthMm! / 2);
    }
  });

  it('cut strips fray at their edges, by threads as fine as their own cloth’s', () => {
    for (const id of ['cloth-strip-6', 'denim-strip-15', 'satin-cloth-strip-8']) {
      const hair = yarnHair(preset(id))!;
      expect(hair.form, id).toBe('edge');
      // Sheeting's threads are 0.15–0.25 mm thick, satin's finer, denim's coarser (from memory).
      expect(hair.diameterMm, id).toBeGreaterThanOrEqual(0.1);
      expect(hair.diameterMm, id).toBeLessThanOrEqual(0.3);
    }
    // Organza is woven of single filaments of 20 to 40 denier (common practice): 0.045 to 0.065 mm of polyester.
    const sheer = yarnHair(preset('organza-strip-20'))!;
    expect(sheer.form).toBe('edge');
    expect(sheer.diameterMm).toBeGreaterThanOrEqual(0.045);
    expect(sheer.diameterMm).toBeLessThanOrEqual(0.065);
    expect(yarnHair(preset('felt-strip-10'))).toBeUndefined();
  });

  it('a wired stem has bristles round its wires, and far fewer than a chenille has locks', () => {
    const record = preset('chenille-stem-6');
    const hair = yarnHair(record)!;
    const width = 2 * (hair.meanLengthMm + record.core!.diameterMm / 2);
    expect(width / record.freeWidthMm!).toBeGreaterThan(0.9);
    expect(width / record.freeWidthMm!).toBeLessThan(1.1);
    // All that is not wire is pile, but for what the wires hold of it, a twentieth to a fifth of its length (0.3 to 1 mm of 6).
    const wireTex = 2 * (Math.PI / 4) * (record.core!.diameterMm / 2) ** 2 * 7850;
    const pileTex = hair.perMm * hair.meanLengthMm * (Math.PI / 4) * hair.diameterMm ** 2 * 1200;
    expect(pileTex / (record.tex - wireTex)).toBeGreaterThan(0.8);
    expect(pileTex / (record.tex - wireTex)).toBeLessThan(0.95);
    // Over the girth half way up the pile.
    const locks = yarnHair(preset('cotton-chenille-1.7'))!;
    const dense = ({ perMm, meanLengthMm, diameterMm }: typeof hair, coreMm: number) =>
      (perMm * diameterMm) / (Math.PI * (coreMm + meanLengthMm));
    expect(dense(hair, record.core!.diameterMm)).toBeLessThan(0.2 * dense(locks, 0.74));
  });

  it('of several yarns wound together cover what each covers, added up', () => {
    const ids = ['cotton-20-2', 'mohair-brushed', 'woollen-2ply'];
    const each = ids.map((id) => yarnHair(preset(id))!);
    const all = hairOfStrands(ids.map(preset))!;
    // n · L · d of randomly placed hairs: what 1 − exp(−Σ n d L) is told by.
    const cover = ({ perMm, meanLengthMm, diameterMm }: typeof all) => perMm * meanLengthMm * diameterMm;
    expect(cover(all) / each.reduce((sum, hair) => sum + cover(hair), 0)).toBeCloseTo(1, 10);
    const length = ({ perMm, meanLengthMm }: typeof all) => perMm * meanLengthMm;
    expect(length(all) / each.reduce((sum, hair) => sum + length(hair), 0)).toBeCloseTo(1, 10);
    // Two ends of one yarn have twice its hair, and it looks no other.
    const one = yarnHair(preset('mohair-brushed'))!;
    const two = hairOfStrands([preset('mohair-brushed'), preset('mohair-brushed')])!;
    expect(two.perMm).toBeCloseTo(2 * one.perMm, 8);
    expect([two.meanLengthMm, two.diameterMm, two.heightMm]).toEqual(
      [one.meanLengthMm, one.diameterMm, one.heightMm].map((value) => expect.closeTo(value, 10)),
    );
    expect(hairOfStrands([preset('metal-film-1-64')])).toBeUndefined();
  });

  it('of yarns with hair of other kinds is of the one of which there is most', () => {
    expect(hairOfStrands([preset('cotton-20-2'), preset('mohair-loop')])).toEqual(
      [yarnHair(preset('cotton-20-2'))!, yarnHair(preset('mohair-loop'))!].reduce((most, hair) =>
        hair.perMm * hair.meanLengthMm > most.perMm * most.meanLengthMm ? hair : most,
      ),
    );
  });
});
