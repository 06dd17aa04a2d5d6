import { describe, expect, it } from 'vitest';
import { ClothPrograms } from '#render/clothPrograms.ts';
import { HairPass } from '#render/hairPass.ts';
import { EVERY_FEATURE } from '#render/programFeatures.ts';
import { ScreenPass } from '#render/screenPass.ts';
import { shaderCost } from '#tests/helpers/shaderCost.ts';

/**
 * Operations of a program after full inlining: drivers inline everything, and their time to compile grows faster than the
 * text. A budget that we set ourselves; the largest, the reference's surfaces of a cloth with all there is, fills it.
 */
const MOST_OPERATIONS = 4100;

const programs = new ClothPrograms();
/** With all that cloths may ask for. */
const fullPrograms = new ClothPrograms();
fullPrograms.use(EVERY_FEATURE, true);
const passes = [
  { some: programs, features: 0 },
  { some: fullPrograms, features: EVERY_FEATURE },
].flatMap(({ some, features }) => [
  ...Object.values(some).filter((part) => part instanceof ScreenPass || part instanceof HairPass),
  some.createPathMean(),
  some.createPathSurvey(),
  ...[
    some.createPath(false, false, features),
    some.createPath(true, false, features),
    some.createPath(false, true, features),
  ].flatMap(({ ray, leave }) => [ray, leave]),
]);
/** Defines that three puts before the text. */
const textOf = ({ material }: ScreenPass | HairPass, text = material.fragmentShader) =>
  Object.entries(material.defines ?? {})
    .map(([name, value]) => `#define ${name} ${value}\n`)
    .join('') + text;

describe('the programs of the picture, every function put in place where it is called', () => {
  const fragments = passes.map((pass) => ({
    name: `${pass.material.name}${textOf(pass).includes('#define HAIR 1') ? ', with hair' : ''}`,
    ...shaderCost(textOf(pass)),
  }));
  // Of hair drawn one by one most of the time goes to its corners.
  const vertices = passes
    .filter((pass) => pass instanceof HairPass)
    .map((pass) => ({ name: 'cloth/hairDraw.vert.glsl', ...shaderCost(textOf(pass, pass.material.vertexShader)) }));
  const costs = [...fragments, ...vertices];

  it.each(costs)('$name stays small: $operations operations', ({ operations }) => {
    expect(operations).toBeGreaterThan(0);
    expect(operations).toBeLessThanOrEqual(MOST_OPERATIONS);
  });

  it.each(costs)('$name holds the walk and the tube at most once', ({ sites }) => {
    for (const name of ['walkCloth', 'intersectTube', 'intersectHair'])
      expect(sites.get(name) ?? 0).toBeLessThanOrEqual(1);
  });

  it('walk the cloth in the walk, the light walk, what columns are made by and the reference', () => {
    const walking = costs.filter(({ sites }) => sites.get('walkCloth') === 1 && sites.get('intersectTube') === 1);
    expect(walking.map(({ name }) => name)).toEqual([
      'cloth/gbuffer.frag.glsl',
      'cloth/lightwalk.frag.glsl',
      'cloth/columns.frag.glsl',
      'cloth/path.frag.glsl',
      'cloth/path.frag.glsl',
      'cloth/path.frag.glsl',
      'cloth/gbuffer.frag.glsl, with hair',
      'cloth/lightwalk.frag.glsl, with hair',
      'cloth/columns.frag.glsl, with hair',
      'cloth/path.frag.glsl, with hair',
      'cloth/path.frag.glsl, with hair',
      'cloth/path.frag.glsl, with hair',
    ]);
  });
});

describe('the count itself', () => {
  const head = `precision highp float;
#define SIDE 4
layout(location = 0) out highp vec4 outColour;
struct Pair { float a; vec3 b; };
`;

  // By hand, by the rule of `ShaderCost`.
  it.each([
    ['nothing', 'void main() { outColour = vec4(1.0); }', 0],
    [
      'operators, whatever their width',
      'void main() { vec3 v = vec3(1.0) * 2.0 + 1.0; v += v; v.x++; v.y = -v.x; }',
      5,
    ],
    ['built-in functions', 'void main() { float a = sin(1.0) + max(2.0, dot(vec2(1.0), vec2(2.0))); }', 4],
    [
      'members, swizzles and structs for nothing',
      'void main() { Pair p = Pair(1.0, vec3(2.0)); outColour = p.b.xyzz; }',
      0,
    ],
    ['a loop once', 'void main() { int n = 0; for (int i = 0; i < SIDE; i++) { n += i; } }', 4],
    [
      'both ways of a branch',
      'void main() { float a = 1.0; if (a > 0.0) a += 1.0; else a = a > 3.0 ? sin(a) : a; }',
      6,
    ],
    ['an index', 'void main() { float a[2]; a[1] = 3.0; float b = a[0]; }', 2],
    [
      'functions as often as they are called, within each other too',
      'float f(float x) { return x * x; } float g(float x) { return f(x) + f(x); } void main() { float a = g(g(1.0)); }',
      6,
    ],
    ['nothing of functions that no one calls', 'float f(float x) { return x * x; } void main() { }', 0],
    [
      'the dearest of functions of one name',
      'float f(vec2 x) { return x.x * x.y * x.x; } float f(float x) { return x; } void main() { float a = f(1.0); }',
      2,
    ],
  ])('counts %s', (_what, text, operations) => {
    expect(shaderCost(head + text).operations).toBe(operations);
  });

  it('finds every place where a function stands after inlining', () => {
    const { sites } = shaderCost(
      `${head}float f(float x) { return x; } float g(float x) { return f(x) + f(x); } void main() { float a = g(1.0) + g(f(2.0)); }`,
    );
    expect([sites.get('f'), sites.get('g')]).toEqual([5, 2]);
  });

  it('refuses what it cannot read', () => {
    expect(() => shaderCost(`${head}void main() { float a = ; }`)).toThrow();
    expect(() => shaderCost(head)).toThrow(/no function main/);
  });
});
