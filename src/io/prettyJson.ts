const LINE_WIDTH = 120;

export interface PrettyJsonOptions {
  /** Lists, by their key, each of whose entries takes one line however long: picks stay countable by line. */
  readonly oneLineEntries?: readonly string[];
}

/**
 * JSON that people read and version control compares: two-space indents, whatever fits a line of 120 on one line, long
 * lists of numbers, words or small lists filled line by line. Keys keep their order, so equal values give equal text.
 */
export function prettyJson(value: unknown, options: PrettyJsonOptions = {}): string {
  return `${write(value, '', LINE_WIDTH, new Set(options.oneLineEntries), '')}\n`;
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const fields = presentFields(value).map(([key, field]) => `${JSON.stringify(key)}: ${oneLine(field)}`);
  return fields.length === 0 ? '{}' : `{ ${fields.join(', ')} }`;
}

/** A number, a word, or a list of them: filled several to a line. */
function isSmall(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return true;
  return Array.isArray(value) && value.every((entry) => typeof entry !== 'object' || entry === null);
}

function presentFields(value: object): [string, unknown][] {
  return Object.entries(value).filter(([, field]) => field !== undefined);
}

/** `room`: characters left on the line where the value starts. `key`: that under which it stands. */
function write(value: unknown, indent: string, room: number, oneLineKeys: Set<string>, key: string): string {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const asLines = Array.isArray(value) && oneLineKeys.has(key);
  const inner = `${indent}  `;
  if (!asLines) {
    const line = oneLine(value);
    if (line.length <= room) return line;
  }
  if (Array.isArray(value)) {
    if (value.length === 0) return '[]';
    if (asLines)
      return bracketed(
        '[',
        value.map((entry) => inner + oneLine(entry)),
        indent,
        ']',
      );
    if (value.every(isSmall)) return bracketed('[', [filled(value, inner)], indent, ']');
    const entries = value.map((entry) => inner + write(entry, inner, LINE_WIDTH - inner.length - 1, oneLineKeys, ''));
    return bracketed('[', entries, indent, ']');
  }
  const fields = presentFields(value).map(([name, field]) => {
    const start = `${inner}${JSON.stringify(name)}: `;
    return start + write(field, inner, LINE_WIDTH - start.length - 1, oneLineKeys, name);
  });
  return bracketed('{', fields, indent, '}');
}

function bracketed(open: string, lines: readonly string[], indent: string, close: string): string {
  return `${open}\n${lines.join(',\n')}\n${indent}${close}`;
}

function filled(values: readonly unknown[], inner: string): string {
  const lines: string[] = [];
  let line = inner;
  values.forEach((value, i) => {
    const text = oneLine(value) + (i < values.length - 1 ? ',' : '');
    if (line !== inner && line.length + 1 + text.length > LINE_WIDTH) {
      lines.push(line);
      line = inner;
    }
    line += line === inner ? text : ` ${text}`;
  });
  lines.push(line);
  return lines.join('\n');
}
