import type * as THREE from 'three';
import { ClothPrograms } from '#render/clothPrograms.ts';
import { Feature } from '#render/programFeatures.ts';
import { ScreenPass } from '#render/screenPass.ts';

/** What a program takes until it can be used, and for how long of that the page stands still, ms. */
interface CompileTime {
  readonly usable: number;
  readonly blocked: number;
}

// Floats hold whole numbers exactly up to 2^24: none is another's.
let salt = Math.floor(Math.random() * 2 ** 23);

/** A program that no cache has seen: what it draws is the same, since no pixel lies left of the picture. */
function fresh(fragment: string): string {
  salt++;
  return fragment.replace('void main() {', `void main() {\n  if (gl_FragCoord.x < -${salt}.0) discard;`);
}

class Compiler {
  private readonly parallel: { readonly COMPLETION_STATUS_KHR: number } | null;

  constructor(private readonly gl: WebGL2RenderingContext) {
    this.parallel = gl.getExtension('KHR_parallel_shader_compile');
  }

  get isParallel(): boolean {
    return this.parallel !== null;
  }

  begin({ vertexShader, fragmentShader, defines }: THREE.RawShaderMaterial): WebGLProgram {
    const { gl } = this;
    const program = gl.createProgram();
    for (const [type, text] of [
      [gl.VERTEX_SHADER, vertexShader],
      [gl.FRAGMENT_SHADER, fresh(fragmentShader)],
    ] as const) {
      const shader = gl.createShader(type) as WebGLShader;
      const asked = Object.entries(defines ?? {}).map(([name, value]) => `#define ${name} ${value}\n`);
      gl.shaderSource(shader, `#version 300 es\n${asked.join('')}${text}`);
      gl.compileShader(shader);
      gl.attachShader(program, shader);
    }
    gl.linkProgram(program);
    return program;
  }

  /** Asks for the result, which waits for it. */
  finish(program: WebGLProgram): void {
    const { gl } = this;
    if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(`${gl.getProgramInfoLog(program)}`);
    gl.deleteProgram(program);
  }

  /** Without parallel compiling: the page stands still all the time. */
  inTurn(material: THREE.RawShaderMaterial): CompileTime {
    const begun = performance.now();
    this.finish(this.begin(material));
    const usable = performance.now() - begun;
    return { usable, blocked: usable };
  }

  /** As the page does it where it can: asks now and then whether all are done. */
  async inParallel(materials: readonly THREE.RawShaderMaterial[]): Promise<CompileTime> {
    const { gl, parallel } = this;
    const begun = performance.now();
    const programs = materials.map((material) => this.begin(material));
    let blocked = performance.now() - begun;
    const isDone = (program: WebGLProgram) =>
      gl.getProgramParameter(program, parallel?.COMPLETION_STATUS_KHR ?? gl.LINK_STATUS);
    for (;;) {
      const asked = performance.now();
      const done = programs.every(isDone);
      if (done) for (const program of programs) this.finish(program);
      blocked += performance.now() - asked;
      if (done) return { usable: performance.now() - begun, blocked };
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
  }
}

/** Every program of the picture one by one, and those of the page together, each with and without KHR_parallel_shader_compile. */
export async function measureCompiling(gl: WebGL2RenderingContext, say: (line: string) => void): Promise<void> {
  const compiler = new Compiler(gl);
  const programs = new ClothPrograms();
  // Of a smooth cloth alone, and of one with hair.
  const page = Object.values(programs).filter(
    (part) => part instanceof ScreenPass && part !== programs.hairMet && part !== programs.surfaces,
  );
  const hairy = new ClothPrograms();
  hairy.use(Feature.hair, true);
  // Of frayed strips over thin threads.
  const strips = new ClothPrograms();
  strips.use(Feature.hair | Feature.tight, true);
  const hairyPage = [hairy.walk, hairy.hairMet, hairy.hair, hairy.lightWalk, hairy.shade];
  const reference = Object.values(programs.createPath(false, false, 0));
  const all = [...page, ...reference];
  say(
    `compiling, ms (KHR_parallel_shader_compile ${compiler.isParallel ? 'is there' : 'is missing: "with" stands still as well'})`,
  );
  const words = ({ usable, blocked }: CompileTime) => `${usable.toFixed(0)} (page stands still ${blocked.toFixed(0)})`;
  for (const { material } of all) {
    say(
      `  ${material.name}: with ${words(await compiler.inParallel([material]))}, without ${compiler.inTurn(material).usable.toFixed(0)}`,
    );
  }
  for (const { material } of hairyPage) {
    say(`  ${material.name}, with hair: with ${words(await compiler.inParallel([material]))}`);
  }
  for (const { material } of [strips.walk, strips.columns]) {
    say(`  ${material.name}, with hair and tight bends: with ${words(await compiler.inParallel([material]))}`);
  }
  let turns = 0;
  for (const { material } of page) turns += compiler.inTurn(material).usable;
  const together = await compiler.inParallel(page.map(({ material }) => material));
  say(`  the page's ${page.length} programs: with ${words(together)}, without ${turns.toFixed(0)}`);
  for (const pass of reference) pass.dispose();
  programs.dispose();
  hairy.dispose();
  strips.dispose();
}
