import { checkSampleBody } from './check/checkSample.ts';
import { bodyOf } from './commands/versionCommands.ts';
import { applyChanges, type Change, ChangeError, difference } from './difference.ts';
import { type DocumentProblem, type Outcome, problemAt, problemsUnder } from './problem.ts';
import type { FileDifference } from './schema/differenceSchema.ts';
import {
  SAMPLE_FORMAT,
  SAMPLE_VERSION,
  type Sample,
  type SampleBody,
  type SampleFile,
  type SampleVersion,
  sampleBodySchema,
  sampleFileSchema,
} from './schema/sampleSchema.ts';
import { validate } from './schema/validate.ts';

/**
 * The sample that a parsed file of the newest format version holds: every field in range, everything fitting
 * together, kept versions made whole. All problems name their place in the file.
 */
export function sampleFromFile(json: unknown): Outcome<Sample> {
  const shape = validate(sampleFileSchema, json);
  if (!shape.ok) return shape;
  const { format: _format, version: _version, versions: kept, ...body } = shape.value;
  const problems = checkSampleBody(body);
  if (problems.length > 0) return { ok: false, problems };
  const versions: SampleVersion[] = [];
  for (const [i, { name, note, differences }] of (kept ?? []).entries()) {
    const version = versionBody(body, differences, i);
    if (!version.ok) return version;
    versions.push(note === undefined ? { name, body: version.value } : { name, note, body: version.value });
  }
  return { ok: true, value: applyChanges({ ...body, versions }, []) };
}

function versionBody(body: SampleBody, differences: readonly FileDifference[], index: number): Outcome<SampleBody> {
  const path = ['versions', index];
  let changed: unknown = body;
  for (const [i, change] of differences.entries()) {
    try {
      changed = applyChanges(changed, [changeFromFile(change)]);
    } catch (error) {
      if (!(error instanceof ChangeError)) throw error;
      const problem = problemAt(
        [...path, 'differences', i],
        `does not fit the sample: ${error.message}`,
        'correct or remove it',
      );
      return { ok: false, problems: [problem] };
    }
  }
  const shape = validate(sampleBodySchema, changed);
  if (!shape.ok) return { ok: false, problems: inVersion(path, shape.problems) };
  const problems = checkSampleBody(shape.value);
  if (problems.length > 0) return { ok: false, problems: inVersion(path, problems) };
  // The tree that shares its unchanged parts with the body, not the copy that validation made.
  return { ok: true, value: changed as SampleBody };
}

/** A version's problem lies in what its differences make, which is nowhere in the file as written: name both. */
function inVersion(path: readonly (string | number)[], problems: readonly DocumentProblem[]): DocumentProblem[] {
  return problemsUnder(path, problems).map((problem) => ({ ...problem, path }));
}

/** The sample as its file holds it, keys in the order of the format. @throws Error where the sample is not valid. */
export function sampleToFile(sample: Sample): SampleFile {
  const body = bodyOf(sample);
  const versions = sample.versions.map(({ name, note, body: kept }) => ({
    name,
    ...(note === undefined ? {} : { note }),
    differences: difference(body, kept).map(changeToFile),
  }));
  const file = {
    format: SAMPLE_FORMAT,
    version: SAMPLE_VERSION,
    ...body,
    ...(versions.length > 0 ? { versions } : {}),
  };
  const ordered = validate(sampleFileSchema, file);
  if (ordered.ok) return ordered.value;
  throw new Error(`The sample cannot be written: ${ordered.problems[0].message}`);
}

function changeFromFile(change: FileDifference): Change {
  const { at } = change;
  switch (change.change) {
    case 'set':
      return { kind: 'set', at, before: undefined, after: change.to };
    case 'remove':
      return { kind: 'set', at, before: undefined, after: undefined };
    case 'splice':
      return {
        kind: 'splice',
        at,
        from: change.from,
        removed: new Array(change.remove).fill(undefined),
        inserted: change.insert,
      };
    case 'run':
      return {
        kind: 'run',
        at,
        from: change.from,
        field: change.field,
        before: [],
        after: change.to.map((value) => (value === null ? undefined : value)),
      };
  }
}

function changeToFile(change: Change): FileDifference {
  const at = [...change.at];
  switch (change.kind) {
    case 'set':
      return change.after === undefined ? { change: 'remove', at } : { change: 'set', at, to: change.after };
    case 'splice':
      return { change: 'splice', at, from: change.from, remove: change.removed.length, insert: [...change.inserted] };
    case 'run': {
      const to = change.after.map((value) => (value === undefined ? null : value));
      return { change: 'run', at, from: change.from, field: [...change.field], to };
    }
  }
}
