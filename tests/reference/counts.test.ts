import { describe, expect, it } from 'vitest';
import { type CountSystem, countFromTex, texFromCount } from '#engine/units/countSystems.ts';
import { parseCount } from '#engine/units/parseCount.ts';
import { caseById, expectWithin } from './cases.ts';

describe('count systems against published tables', () => {
  it('LD-01: 20 tex in other systems', () => {
    const { inputs, expected, tolerance } = caseById<
      { tex: number },
      { Ne_cotton: number; denier: number; Nm: number }
    >('textile', 'LD-01');
    expectWithin(countFromTex(inputs.tex, 'Ne'), expected.Ne_cotton, tolerance, 'Ne');
    expectWithin(countFromTex(inputs.tex, 'denier'), expected.denier, tolerance, 'denier');
    expectWithin(countFromTex(inputs.tex, 'Nm'), expected.Nm, tolerance, 'Nm');
  });

  it('LD-03: cotton 8/2', () => {
    const { inputs, expected, tolerance } = caseById<{ label: string }, { Ne_resultant: number; yd_per_lb: number }>(
      'textile',
      'LD-03',
    );
    const { tex } = parseCount(inputs.label, 'Ne');
    expectWithin(countFromTex(tex, 'Ne'), expected.Ne_resultant, tolerance, 'resultant Ne');
    expectWithin(countFromTex(tex, 'ydPerLb'), expected.yd_per_lb, tolerance, 'yd/lb');
  });

  it('LD-04: 150 denier in cotton count', () => {
    const { inputs, expected, tolerance } = caseById<{ denier: number }, { Ne_cotton: number }>('textile', 'LD-04');
    expectWithin(countFromTex(texFromCount(inputs.denier, 'denier'), 'Ne'), expected.Ne_cotton, tolerance, 'Ne');
  });

  it('LD-06: yd/lb to tex', () => {
    const { inputs, expected, tolerance } = caseById<{ yd_per_lb: number[] }, { tex: number[] }>('textile', 'LD-06');
    inputs.yd_per_lb.forEach((yards, k) => {
      expectWithin(texFromCount(yards, 'ydPerLb'), expected.tex[k], tolerance, `${yards} yd/lb`);
    });
  });

  it('LD-08: conversion constants', () => {
    const { expected, tolerance } = caseById<
      unknown,
      { tex_times_Ne: number; denier_times_Ne: number; tex_per_grain_per_yard: number; Nm_per_Ne: number }
    >('textile', 'LD-08');
    expectWithin(texFromCount(1, 'Ne'), expected.tex_times_Ne, tolerance, 'tex Ne');
    expectWithin(countFromTex(texFromCount(1, 'Ne'), 'denier'), expected.denier_times_Ne, tolerance, 'denier Ne');
    // 7000 grains to the pound: 1 grain per yard is 7000 yards to the pound the other way about, 1/7000 lb a yard.
    expectWithin(texFromCount(7000, 'ydPerLb'), expected.tex_per_grain_per_yard, tolerance, 'tex per grain a yard');
    expectWithin(countFromTex(texFromCount(1, 'Ne'), 'Nm'), expected.Nm_per_Ne, tolerance, 'Nm per Ne');
  });

  it('LD-09: hank lengths', () => {
    const { expected, tolerance } = caseById<unknown, { k_tex_times_count: number[] }>('textile', 'LD-09');
    const systems: CountSystem[] = [
      'Ne',
      'spunSilk',
      'worsted',
      'linenLea',
      'woollenRun',
      'woollenCut',
      'yorkshireSkein',
      'galashiels',
    ];
    expect(expected.k_tex_times_count.length).toBe(systems.length);
    systems.forEach((system, k) => {
      expectWithin(texFromCount(1, system), expected.k_tex_times_count[k], tolerance, system);
    });
  });

  it('LD-11: plies last in US cotton, first in British worsted and metric', () => {
    const { inputs, expected, tolerance } = caseById<
      { worsted: string; Nm: string; cotton: string },
      { tex: number[]; yd_per_lb: number[] }
    >('textile', 'LD-11');
    const read = [parseCount(inputs.worsted, 'worsted'), parseCount(inputs.Nm, 'Nm'), parseCount(inputs.cotton, 'Ne')];
    read.forEach(({ tex, plies }, k) => {
      expect(plies).toBe(2);
      expectWithin(tex, expected.tex[k], tolerance, 'tex');
      expectWithin(countFromTex(tex, 'ydPerLb'), expected.yd_per_lb[k], tolerance, 'yd/lb');
    });
  });
});
