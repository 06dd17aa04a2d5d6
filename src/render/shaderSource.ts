const files = import.meta.glob('/shaders/**/*.glsl', { query: '?raw', import: 'default', eager: true }) as Record<
  string,
  string
>;

export interface ComposedShader {
  readonly source: string;
  /** Files in the order of the numbers that `#line` gives them. */
  readonly files: readonly string[];
}

const PRECISION = [
  'precision highp float;',
  'precision highp int;',
  'precision highp sampler2D;',
  'precision highp sampler3D;',
  'precision highp usampler2D;',
  'precision highp usampler2DArray;',
  'precision highp sampler2DArray;',
];

/**
 * A shader file with its quoted includes put in place, each once, and `#line` marks so that a compiler's message can be
 * traced to a file.
 * @param path below shaders/, for instance 'cloth/shade.frag.glsl'
 * @throws where a file is missing
 */
export function composeShader(path: string, defines: Readonly<Record<string, string>>): ComposedShader {
  const names: string[] = [];
  const body = include(`/shaders/${path}`, names);
  const head = Object.entries(defines).map(([name, value]) => `#define ${name} ${value}`);
  return { source: [...PRECISION, ...head, body].join('\n'), files: names };
}

function include(path: string, names: string[]): string {
  const text = files[path];
  if (text === undefined) throw new Error(`shader ${path}: no such file`);
  if (names.includes(path)) return '';
  const number = names.push(path) - 1;
  const folder = path.slice(0, path.lastIndexOf('/') + 1);
  const lines = text.split('\n').map((line, at) => {
    const wanted = /^[ \t]*#include\s+"([^"]+)"/.exec(line);
    if (!wanted) return line;
    const inner = include(new URL(wanted[1], `file://${folder}`).pathname, names);
    return `${inner}\n#line ${at + 2} ${number}`;
  });
  return `#line 1 ${number}\n${lines.join('\n')}`;
}

/** A compiler's log with the file's name in place of its number. */
export function nameFiles(log: string, shader: ComposedShader): string {
  return log.replace(/(ERROR|WARNING): (\d+):(\d+)/g, (_all, kind: string, file: string, line: string) => {
    return `${kind}: ${shader.files[Number(file)] ?? file}:${line}`;
  });
}
