import { type DocumentProblem, type Outcome, type PlacePath, problemAt } from '#document/problem.ts';

export type JsonObject = Record<string, unknown>;

/**
 * One step from a format version to the next. Steps live in files of their own, `0002_addsWhat.ts` for the step to
 * version 2, and are never edited once files of their version may exist: a wrong step is followed by another.
 */
export interface Migration {
  /** The version that this step makes, from the one before. */
  readonly to: number;
  /** What changes, for the changelog and for errors. */
  readonly what: string;
  /** Returns a new object; may assume that the file is a valid one of the version before. `version` is set after it. */
  up(file: JsonObject): JsonObject;
}

/** A kind of file: what it is called, the newest version that can be read, and the way there from version 1. */
export interface FileFormat {
  readonly format: string;
  /** With its article: "a sample". */
  readonly inWords: string;
  readonly newest: number;
  /** To version 2, 3 … newest, in order. */
  readonly migrations: readonly Migration[];
}

/** @throws Error where the steps are not exactly 2, 3 … newest: a mistake in the program, not in a file. */
export function assertContiguous({ format, newest, migrations }: FileFormat): void {
  const versions = migrations.map((migration) => migration.to);
  const wanted = Array.from({ length: newest - 1 }, (_, i) => i + 2);
  if (versions.join() === wanted.join()) return;
  throw new Error(`${format}: migrations go to versions ${versions.join(', ')}, but ${wanted.join(', ')} are needed`);
}

export function isJsonObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The problem with a file's first two fields, or null where it is of this format in a version that can be read. */
function headerProblem(file: unknown, format: FileFormat, path: PlacePath): DocumentProblem | null {
  if (!isJsonObject(file) || typeof file.format !== 'string') {
    return problemAt(
      path,
      `is not ${format.inWords}: it does not say "format": "${format.format}"`,
      'choose another file',
    );
  }
  if (file.format !== format.format) {
    return problemAt(
      [...path, 'format'],
      `is "${file.format.slice(0, 60)}", not "${format.format}"`,
      `choose ${format.inWords}`,
    );
  }
  const { version } = file;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return problemAt(
      [...path, 'version'],
      'is not a whole number from 1',
      `write the version, at most ${format.newest}`,
    );
  }
  if (version <= format.newest) return null;
  return problemAt(
    [...path, 'version'],
    `is ${version}: this was made by a newer Forecloth; the one here reads ${format.inWords} up to version ${format.newest}`,
    'open it with the newer one',
  );
}

/** The file in the newest version of its format, not yet validated; or why it cannot be had. */
export function migrate(file: unknown, format: FileFormat, path: PlacePath = []): Outcome<JsonObject> {
  const problem = headerProblem(file, format, path);
  if (problem) return { ok: false, problems: [problem] };
  let current = file as JsonObject;
  for (const migration of format.migrations) {
    if (migration.to <= (current.version as number)) continue;
    try {
      current = { ...migration.up(current), version: migration.to };
    } catch {
      const what = `of version ${migration.to - 1} could not be brought to version ${migration.to} (${migration.what})`;
      return { ok: false, problems: [problemAt(path, what, 'check that it is whole')] };
    }
  }
  return { ok: true, value: current };
}
