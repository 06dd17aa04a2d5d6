import { parse } from '@shaderfrog/glsl-parser';
import type { AstNode, FunctionNode } from '@shaderfrog/glsl-parser/ast';
import preprocess from '@shaderfrog/glsl-parser/preprocessor';

/** What a shader program comes to once every function is put in place where it is called. */
export interface ShaderCost {
  /**
   * Operations: 1 for each operator (arithmetic, comparison, logic, compound assignment, index, the choice of `?:`), each
   * branch or loop, and each call of a built-in function, whatever its operands' width. Nothing for plain assignments,
   * constructors, members and swizzles, which move values about. Loops count once, however often they run; both ways of
   * a branch count.
   */
  readonly operations: number;
  /** How often each of the program's own functions stands in the inlined text of `main`. */
  readonly sites: ReadonlyMap<string, number>;
}

/** @throws Error where the text is no GLSL ES 3.00, or has no `main` */
export function shaderCost(source: string): ShaderCost {
  const text = preprocess(source.replace(/^#line.*$/gm, ''), { preserveComments: false });
  const functions = new Map<string, FunctionNode[]>();
  const structs = new Set<string>();
  for (const part of topLevel(text)) {
    const struct = /^struct\s+(\w+)/.exec(part);
    if (struct) structs.add(struct[1]);
    const node = functionIn(part);
    if (!node) continue;
    const { name } = node.prototype.header;
    functions.set(name.identifier, [...(functions.get(name.identifier) ?? []), node]);
  }
  const known = new Map<FunctionNode, ShaderCost>();
  const inlined = (node: FunctionNode): ShaderCost => {
    const before = known.get(node);
    if (before) return before;
    const cost = costOf(node.body, (name, args) => {
      if (structs.has(name)) return NOTHING;
      const overloads = functions.get(name)?.filter((each) => parametersOf(each) === args) ?? [];
      // Types are not worked out: of functions of one name the dearest is taken.
      return overloads.map(inlined).reduce<ShaderCost | undefined>((most, cost) => {
        return most && most.operations >= cost.operations ? most : cost;
      }, undefined);
    });
    known.set(node, cost);
    return cost;
  };
  const main = functions.get('main')?.[0];
  if (!main) throw new Error('shader: there is no function main');
  return inlined(main);
}

/** Declarations and functions, each as text: the parser's time grows faster than its text, and programs share functions. */
function topLevel(text: string): string[] {
  const parts: string[] = [];
  let depth = 0;
  let from = 0;
  for (let k = 0; k < text.length; k++) {
    if (text[k] === '{') depth++;
    if (text[k] === '}') depth--;
    if (depth > 0 || (text[k] !== '}' && text[k] !== ';')) continue;
    parts.push(text.slice(from, k + 1).trim());
    from = k + 1;
  }
  return parts;
}

const parsed = new Map<string, FunctionNode | undefined>();

/** Undefined for what is no function. */
function functionIn(text: string): FunctionNode | undefined {
  // A function's first brace follows its parameters, a struct's its name.
  if (!/^[^{]*\)\s*\{/.test(text)) return undefined;
  if (!parsed.has(text)) {
    const nodes = parse(text, { quiet: true, stage: 'fragment' }).program;
    parsed.set(text, nodes.find((node) => node.type === 'function') as FunctionNode | undefined);
  }
  return parsed.get(text);
}

function parametersOf({ prototype }: FunctionNode): number {
  return prototype.parameters?.length ?? 0;
}

const NOTHING: ShaderCost = { operations: 0, sites: new Map() };

/** Undefined for built-in functions. */
type Lookup = (name: string, args: number) => ShaderCost | undefined;

function costOf(body: AstNode, find: Lookup): ShaderCost {
  let operations = 0;
  const sites = new Map<string, number>();
  walk(body, (node) => {
    operations += ownCost(node);
    if (node.type !== 'function_call') return;
    const name = calledName(node);
    if (name === undefined) return;
    const args = (node.args ?? []).filter((each) => each.type !== 'literal').length;
    const cost = find(name, args);
    if (!cost) {
      operations++;
      return;
    }
    operations += cost.operations;
    sites.set(name, (sites.get(name) ?? 0) + 1);
    for (const [inner, count] of cost.sites) sites.set(inner, (sites.get(inner) ?? 0) + count);
  });
  return { operations, sites };
}

const ONE_EACH: readonly string[] = [
  'binary',
  'unary',
  'ternary',
  'if_statement',
  'for_statement',
  'while_statement',
  'do_statement',
  'switch_statement',
];

function ownCost(node: AstNode): number {
  if (ONE_EACH.includes(node.type)) return 1;
  if (node.type === 'assignment') return node.operator.literal === '=' ? 0 : 1;
  if (node.type === 'quantifier') return 1;
  if (node.type === 'postfix') return node.postfix.type === 'literal' ? 1 : 0;
  return 0;
}

/** The function that is called; undefined for constructors of built-in types and of structs. */
function calledName(node: Extract<AstNode, { type: 'function_call' }>): string | undefined {
  const { identifier } = node;
  if (identifier.type === 'identifier') return identifier.identifier;
  if (identifier.type !== 'type_specifier' || identifier.quantifier?.length) return undefined;
  const { specifier } = identifier;
  if (specifier.type !== 'type_name' && specifier.type !== 'identifier') return undefined;
  return specifier.identifier;
}

/** Every node below one, itself included; declarations' types are no operations. */
function walk(node: unknown, visit: (node: AstNode) => void): void {
  if (Array.isArray(node)) {
    for (const each of node) walk(each, visit);
    return;
  }
  if (node === null || typeof node !== 'object' || !('type' in node)) return;
  visit(node as AstNode);
  for (const [key, value] of Object.entries(node)) {
    if (key !== 'specified_type' && key !== 'whitespace' && key !== 'location') walk(value, visit);
  }
}
