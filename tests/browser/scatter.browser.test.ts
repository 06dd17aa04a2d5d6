import { describe, expect, test } from 'vitest';
import {
  createFacetDirection,
  type FacetSetting,
  facetAlbedo,
  facetBrdf,
  facetDirection,
  sheetTransmittance,
} from '#engine/scatter/facetBrdf.ts';
import { facetPdf, sampleVisibleFacet, widenRoughness } from '#engine/scatter/facets.ts';
import { facetTilt, gratingPatch } from '#engine/scatter/facetTilt.ts';
import { facetWindow } from '#engine/scatter/facetWindow.ts';
import { createFibreDirection, fibreBrdf, fibreDirection } from '#engine/scatter/fibreBrdf.ts';
import { widen } from '#engine/scatter/fibreLobes.ts';
import { writeOptics } from '#engine/scatter/opticsLayout.ts';
import { fibrePdf, lobeChances, sampleFibre } from '#engine/scatter/sampleFibre.ts';
import { type BuiltScatterTable, blockSetting, buildScatterTable, fibreLobesOf } from '#engine/scatter/scatterTable.ts';
import { hashUniform } from '#engine/units/hash.ts';
import { type YarnOptics, yarnOptics } from '#engine/yarn/yarnOptics.ts';
import { readAllYarnPresets } from '#io/presets.ts';
import { runScatterProbe } from '#tests/helpers/scatterProbe.ts';
import { PROBE_TEXELS } from '#tests/helpers/shaderProbe.ts';

const SEED = 90_125;
/**
 * Half floats hold a scale factor to 5e-4, filters weigh in steps of 1/256 of a node's difference, and the lobe is
 * steep: 1 % of the value for each of the two factors' worth, or of the lobe's own size where it is dark.
 */
const RELATIVE = 0.012;
const DARK = 2e-4;
/** Of a unit direction: in a lobe's tails, and at facets' rims, quantiles magnify the drivers' sines; rarely more. */
const SAMPLE = 5e-3;

/** 0.4 of L*: white stays white. */
const FURNACE = 0.01;

type Direction = [number, number, number];
const NORMAL: Direction = [0, 0, 1];
const TANGENT: Direction = [1, 0, 0];
const TINT: Direction = [0.85, 0.55, 0.2];

const YARNS = [
  'rayon-filament-300',
  'cotton-8-2',
  'linen-20-2',
  'organza-strip-20',
  'metal-film-1-69',
  'wire-copper-0.2',
  'ldpe-strip-20',
  'holo-film-strip-3x50',
];

interface Scene {
  readonly optics: readonly YarnOptics[];
  readonly table: BuiltScatterTable;
}

async function scene(): Promise<Scene> {
  const presets = await readAllYarnPresets();
  const optics = YARNS.map((id) => yarnOptics(presets.find((record) => record.id === id)!));
  const steps = buildScatterTable(optics.map(blockSetting));
  let step = steps.next();
  while (!step.done) step = steps.next();
  return { optics, table: step.value };
}

function hemisphere(seed: number, k: number): Direction {
  const polar = (Math.PI / 2) * 0.97 * hashUniform(seed, k);
  const azimuth = 2 * Math.PI * hashUniform(seed + 1, k);
  return [Math.sin(polar) * Math.cos(azimuth), Math.sin(polar) * Math.sin(azimuth), Math.cos(polar)];
}

interface Case {
  readonly yarn: number;
  readonly toLight: Direction;
  readonly toEye: Direction;
  readonly tilt: number;
  readonly u: readonly number[];
}

/** Half of the lights lie near the mirror direction, where lobes are bright. */
function casesOf(count: number): Case[] {
  return Array.from({ length: count }, (_, k) => {
    const toEye = hemisphere(SEED, k);
    let toLight = hemisphere(SEED + 2, k);
    if (k % 2 === 0) {
      const near = hemisphere(SEED + 4, k).map((x) => 0.15 * (x - 0.3));
      const raw = [-toEye[0] + near[0], -toEye[1] + near[1], Math.max(0.02, toEye[2] + near[2])];
      const length = Math.hypot(...raw);
      toLight = raw.map((x) => x / length) as Direction;
    }
    const tilt = k % 3 === 0 ? 0 : 0.6 * hashUniform(SEED + 6, k);
    return { yarn: k % YARNS.length, toLight, toEye, tilt, u: [0, 1, 2, 3].map((d) => hashUniform(SEED + 7 + d, k)) };
  });
}

function inputsOf(cases: readonly Case[], { optics, table }: Scene): Float32Array {
  const inputs = new Float32Array(cases.length * PROBE_TEXELS * 4);
  cases.forEach(({ yarn, toLight, toEye, tilt, u }, k) => {
    const at = k * PROBE_TEXELS * 4;
    writeOptics(inputs, at, optics[yarn], table.blockOf[yarn]);
    inputs.set([...toLight, tilt], at + 12);
    inputs.set([...toEye, 0], at + 16);
    inputs.set(u, at + 20);
  });
  return inputs;
}

const settingOf = (optics: YarnOptics, block: number): FacetSetting => ({
  kind: optics.surface === 'clear' ? 'clear' : 'metal',
  block,
  roughness: optics.roughness,
  coatEta: optics.eta,
  metalReflectance: optics.metalReflectance,
  gratingPitchUm: optics.gratingPitchUm,
});

const PREPARE = `
  Optics optics = readOptics(probe(0), probe(1), probe(2));
  vec3 normal = vec3(0.0, 0.0, 1.0);
  vec3 tangent = vec3(1.0, 0.0, 0.0);
  vec3 tint = vec3(${TINT.join(', ')});
  float tilt = probe(3).w;
  vec3 toLight = probe(3).xyz;
  vec3 toEye = probe(4).xyz;
  ScatterView view = scatterView(optics, normal, tangent, toEye, tilt);
`;

function expectClose(gpu: number, twin: number, what: string): void {
  expect(Math.abs(gpu - twin), `${what}: shader ${gpu}, twin ${twin}`).toBeLessThanOrEqual(
    RELATIVE * Math.abs(twin) + DARK,
  );
}

describe(`scattering in the shader is its TypeScript twin, seed ${SEED}`, () => {
  test('lobes, film and clear sheets over directions and tilts', async () => {
    const made = await scene();
    const cases = casesOf(1400);
    const inputs = inputsOf(cases, made);
    const surface = runScatterProbe(
      made.table,
      inputs,
      `${PREPARE}
      Scattered s = Scattered(vec3(0.0), vec3(0.0));
      if (optics.kind == SURFACE_FIBRE) s = scatterFibre(optics, tint, view, toLight, tilt);
      else {
        FacetDirection i = facetDirection(optics, normal, toLight, view.spread);
        s.surface = facetBrdf(optics, tint, normal, tangent, toLight, toEye, i, view.facet, view.spread);
      }
      outValue = vec4(s.surface, s.volume.y);`,
    );
    const i = createFibreDirection();
    const o = createFibreDirection();
    const fi = createFacetDirection();
    const fo = createFacetDirection();
    const lobes = { surface: 0, volume: 0 };
    const rgb: Direction = [0, 0, 0];
    let bright = 0;
    cases.forEach(({ yarn, toLight, toEye, tilt }, k) => {
      const optics = made.optics[yarn];
      const block = made.table.blockOf[yarn];
      const what = `${YARNS[yarn]}, case ${k}`;
      if (optics.surface === 'fibre') {
        fibreDirection(i, made.table, block, NORMAL, TANGENT, toLight, tilt);
        fibreDirection(o, made.table, block, NORMAL, TANGENT, toEye, tilt);
        fibreBrdf(lobes, fibreLobesOf(optics), i, o, tilt);
        expectClose(surface[k * 4], lobes.surface, `${what} surface`);
        expectClose(surface[k * 4 + 3], (1 - optics.throughShare) * lobes.volume * TINT[1], `${what} volume`);
        if (lobes.surface > 0.01) bright++;
      } else {
        const alpha = widenRoughness(optics.roughness, tilt * tilt);
        const setting = settingOf(optics, block);
        facetDirection(fi, made.table, block, NORMAL, toLight, alpha);
        facetDirection(fo, made.table, block, NORMAL, toEye, alpha);
        facetBrdf(rgb, setting, TINT, fi, fo, NORMAL, TANGENT, toLight, toEye, alpha);
        for (let c = 0; c < 3; c++) expectClose(surface[k * 4 + c], rgb[c], `${what} channel ${c}`);
        if (rgb[0] > 0.01) bright++;
      }
    });
    expect(bright).toBeGreaterThan(200);
  });

  test('albedos for an even room, and what a sheet lets through', async () => {
    const made = await scene();
    const cases = casesOf(350);
    const inputs = inputsOf(cases, made);
    const back = runScatterProbe(
      made.table,
      inputs,
      `${PREPARE} vec3 through; Scattered s = scatterAlbedo(optics, tint, view, through);
       outValue = vec4(s.surface.y, s.volume.y, through.y, 0.0);`,
    );
    const o = createFibreDirection();
    const fo = createFacetDirection();
    const rgb: Direction = [0, 0, 0];
    cases.forEach(({ yarn, toEye, tilt }, k) => {
      const optics = made.optics[yarn];
      const block = made.table.blockOf[yarn];
      const what = `${YARNS[yarn]}, case ${k}`;
      if (optics.surface === 'fibre') {
        const e = fibreDirection(o, made.table, block, NORMAL, TANGENT, toEye, tilt).surfaceAlbedo;
        expectClose(back[k * 4], e, what);
        expectClose(back[k * 4 + 1] + back[k * 4 + 2], (1 - e) * TINT[1], what);
        return;
      }
      const setting = settingOf(optics, block);
      facetDirection(fo, made.table, block, NORMAL, toEye, widenRoughness(optics.roughness, tilt * tilt));
      facetAlbedo(rgb, setting, TINT, fo);
      expectClose(back[k * 4], rgb[1], what);
      sheetTransmittance(rgb, setting, TINT, fo);
      if (optics.surface === 'clear') expectClose(back[k * 4 + 2], rgb[1], what);
    });
  });

  test('samples and their densities', async () => {
    const made = await scene();
    const cases = casesOf(700);
    const inputs = inputsOf(cases, made);
    const main = `${PREPARE}
      if (optics.kind == SURFACE_FIBRE) {
        vec3 chances = lobeChances(optics, view.fibre.entry.z, 0.85);
        vec3 w = sampleFibre(optics, normal, tangent, chances, view.fibre, tilt, probe(5));
        FibreDirection i = fibreDirection(optics, normal, tangent, toLight, tilt);
        outValue = vec4(w, fibrePdf(optics, chances, i, view.fibre, tilt));
      } else {
        vec3 h = sampleFacet(normal, tangent, toEye, view.spread, probe(5).xy);
        outValue = vec4(h, facetPdf(normalize(toLight + toEye).z, toEye.z, view.spread));
      }`;
    const got = runScatterProbe(made.table, inputs, main);
    const i = createFibreDirection();
    const o = createFibreDirection();
    const chances = { surface: 0, volume: 0, even: 0 };
    let strays = 0;
    cases.forEach(({ yarn, toLight, toEye, tilt, u }, k) => {
      const optics = made.optics[yarn];
      const block = made.table.blockOf[yarn];
      const what = `${YARNS[yarn]}, case ${k}`;
      const w: Direction = [0, 0, 0];
      let pdf: number;
      if (optics.surface === 'fibre') {
        const base = fibreLobesOf(optics);
        const variance = tilt * tilt;
        const lobes = {
          ...base,
          surfaceWidthRad: widen(base.surfaceWidthRad, variance),
          volumeWidthRad: widen(base.volumeWidthRad, variance),
        };
        fibreDirection(o, made.table, block, NORMAL, TANGENT, toEye, tilt);
        lobeChances(chances, lobes, o.surfaceAlbedo, 0.85);
        fibreDirection(i, made.table, block, NORMAL, TANGENT, toLight, tilt);
        pdf = fibrePdf(lobes, chances, i, o);
        // A chance may fall to the other lobe's side by rounding.
        const edge = Math.min(Math.abs(u[0] - chances.even), Math.abs(u[0] - chances.even - chances.surface));
        if (edge < 1e-3) return;
        sampleFibre(i, lobes, chances, o, u);
        w[0] = i.sinTheta;
        w[1] = i.cosTheta * i.sinPhi;
        w[2] = i.cosTheta * i.cosPhi;
      } else {
        const alpha = widenRoughness(optics.roughness, tilt * tilt);
        sampleVisibleFacet(w, toEye, alpha, u[0], u[1]);
        const half = toLight.map((x, c) => x + toEye[c]);
        pdf = facetPdf(half[2] / Math.hypot(...half), toEye[2], alpha);
      }
      const off = Math.max(...w.map((x, c) => Math.abs(got[k * 4 + c] - x)));
      expect(off, `${what} direction`).toBeLessThan(10 * SAMPLE);
      if (off > SAMPLE) strays++;
      expectClose(got[k * 4 + 3], pdf, `${what} density`);
    });
    expect(strays / cases.length).toBeLessThan(0.02);
  });

  test('facets lean alike along a thread', async () => {
    const made = await scene();
    const count = 300;
    const inputs = new Float32Array(count * PROBE_TEXELS * 4);
    const places = Array.from({ length: count }, (_, k) => ({
      thread: k % 50,
      along: 200 * (hashUniform(SEED, k) - 0.3),
    }));
    places.forEach(({ thread, along }, k) => {
      inputs.set([thread, along, 3, 0.07], k * PROBE_TEXELS * 4);
    });
    const got = runScatterProbe(
      made.table,
      inputs,
      'vec4 p = probe(0); vec3 n = vec3(0.0, 0.0, 1.0); vec3 t = vec3(1.0, 0.0, 0.0);' +
        'vec2 lean = facetTilt(int(p.x), p.y, p.z, p.w); leanFrame(n, t, lean); outValue = vec4(lean, n.x, dot(n, t));',
    );
    const lean: Direction = [0, 0, 0];
    places.forEach(({ thread, along }, k) => {
      facetTilt(lean, thread, Math.fround(along), 3, 0.07);
      expect(Math.abs(got[k * 4] - lean[0])).toBeLessThan(1e-5);
      expect(Math.abs(got[k * 4 + 1] - lean[1])).toBeLessThan(1e-5);
      expect(Math.abs(got[k * 4 + 2] + lean[0] / Math.hypot(1, lean[0], lean[1]))).toBeLessThan(1e-5);
      expect(Math.abs(got[k * 4 + 3])).toBeLessThan(1e-6);
    });
  });

  test('patches of embossed film are ruled alike', async () => {
    const made = await scene();
    const count = 300;
    const inputs = new Float32Array(count * PROBE_TEXELS * 4);
    const places = Array.from({ length: count }, (_, k) => ({
      thread: k % 50,
      along: Math.fround(200 * (hashUniform(SEED, k) - 0.3)),
      across: Math.fround(3 * (hashUniform(SEED + 1, k) - 0.5)),
    }));
    places.forEach(({ thread, along, across }, k) => {
      inputs.set([thread, along, across, k & 1], k * PROBE_TEXELS * 4);
    });
    const got = runScatterProbe(
      made.table,
      inputs,
      'vec4 p = probe(0); outValue = vec4(gratingPatch(int(p.x), p.yz, p.w > 0.5, 1.5), 0.0, 0.0);',
    );
    const ruled: Direction = [0, 0, 0];
    // On the line between two patches single precision may take the other.
    let other = 0;
    places.forEach(({ thread, along, across }, k) => {
      gratingPatch(ruled, thread, along, across, (k & 1) === 1, 1.5);
      if (Math.abs(got[k * 4] - ruled[0]) > 1e-5 || Math.abs(got[k * 4 + 1] - ruled[1]) > 1e-5) other++;
    });
    expect(other).toBeLessThanOrEqual(2);
  });

  test('a window is mirrored, and spread into orders, alike', async () => {
    const made = await scene();
    const count = 300;
    const inputs = new Float32Array(count * PROBE_TEXELS * 4);
    const cases = Array.from({ length: count }, (_, k) => ({
      towards: hemisphere(SEED + 7, k),
      toEye: hemisphere(SEED + 11, k),
      pitchUm: k % 3 === 0 ? 0 : 0.8 + 0.4 * hashUniform(SEED + 13, k),
      alpha: 0.02 + 0.3 * hashUniform(SEED + 17, k),
      cosHalfAngle: Math.cos(0.03 + 0.4 * hashUniform(SEED + 19, k)),
    }));
    cases.forEach(({ towards, toEye, pitchUm, alpha, cosHalfAngle }, k) => {
      inputs.set([...towards, pitchUm, ...toEye, alpha, cosHalfAngle], k * PROBE_TEXELS * 4);
    });
    const got = runScatterProbe(
      made.table,
      inputs,
      'vec4 a = probe(0); vec4 b = probe(1);' +
        'outValue = vec4(facetWindow(a.w, a.xyz, probe(2).x, b.xyz, vec3(0.0, 0.0, 1.0), vec3(1.0, 0.0, 0.0), b.w), 0.0);',
    );
    const expected: Direction = [0, 0, 0];
    cases.forEach(({ towards, toEye, pitchUm, alpha, cosHalfAngle }, k) => {
      facetWindow(expected, pitchUm, towards, cosHalfAngle, toEye, NORMAL, TANGENT, alpha);
      for (let c = 0; c < 3; c++) expect(Math.abs(got[k * 4 + c] - expected[c]), `case ${k}`).toBeLessThan(SAMPLE);
    });
  });

  test('white furnace over the whole sphere in the shader: fibres, thin cloth and clear film return or pass all', async () => {
    const made = await scene();
    const views = [0, 30, 60, 80].flatMap((polar) => [0, 50, 90].map((azimuth) => [polar, azimuth]));
    const kept = made.optics
      .map((optics, yarn) => ({ optics, yarn }))
      .filter(({ optics }) => optics.surface !== 'metal');
    const inputs = new Float32Array(kept.length * views.length * PROBE_TEXELS * 4);
    kept.forEach(({ optics, yarn }, k) => {
      views.forEach(([polar, azimuth], view) => {
        const at = (k * views.length + view) * PROBE_TEXELS * 4;
        const s = Math.sin((polar * Math.PI) / 180);
        const turn = (azimuth * Math.PI) / 180;
        writeOptics(inputs, at, optics, made.table.blockOf[yarn]);
        inputs.set([0, 0, 1, 0], at + 12);
        inputs.set([s * Math.cos(turn), s * Math.sin(turn), Math.cos((polar * Math.PI) / 180)], at + 16);
      });
    });
    const main = `${PREPARE.replace(/tint = vec3\([^)]*\)/, 'tint = vec3(1.0)')}
      Bounce bounce = bounceAt(optics, tint, normal, normal, tangent, toEye);
      float sum = bounce.straight.y;
      // By sines, without built-in trigonometry, which drivers may round to 5e-4: dω cos = cos θ d(sin θ) d(sin φ).
      for (int a = 0; a < 320; a++) {
        float s = 2.0 * (float(a) + 0.5) / 320.0 - 1.0;
        float c = sqrt(1.0 - s * s);
        for (int b = 0; b < 64; b++) {
          float q = 2.0 * (float(b) + 0.5) / 64.0 - 1.0;
          vec3 w = vec3(s, c * q, c * sqrt(1.0 - q * q));
          vec3 f = bounceTowards(bounce, w, true).scattered + bounceTowards(bounce, vec3(w.xy, -w.z), false).scattered;
          sum += f.y / w.z * c * 4.0 / (320.0 * 64.0);
        }
      }
      outValue = vec4(sum);`;
    const got = runScatterProbe(made.table, inputs, main);
    kept.forEach(({ yarn }, k) => {
      views.forEach(([polar, azimuth], view) => {
        const sum = got[(k * views.length + view) * 4];
        expect(Math.abs(sum - 1), `${YARNS[yarn]} ${polar}° ${azimuth}°: ${sum}`).toBeLessThanOrEqual(FURNACE);
      });
    });
  });
});
