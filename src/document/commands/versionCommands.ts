import { type DocumentProblem, problemAt } from '#document/problem.ts';
import { nameField } from '#document/schema/fields.ts';
import type { Sample, SampleBody, SampleVersion } from '#document/schema/sampleSchema.ts';
import { fieldProblem } from '#document/schema/validate.ts';
import { type Command, firstProblem, plain } from './command.ts';

/** A sample holds at most this many kept versions; each is drawn beside the others, and stored. */
export const MOST_VERSIONS = 64;

/** The sample without its versions. Shares everything with the sample. */
export function bodyOf(sample: Sample): SampleBody {
  const { versions: _versions, ...body } = sample;
  return body;
}

/** Replaces everything but the versions. */
function putBody(draft: Sample, body: SampleBody): void {
  const target = draft as unknown as Record<string, unknown>;
  for (const key of Object.keys(target)) if (key !== 'versions' && !(key in body)) delete target[key];
  Object.assign(target, body);
}

function indexProblem(sample: Sample, version: number): DocumentProblem | null {
  if (Number.isInteger(version) && version >= 1 && version <= sample.versions.length) return null;
  return problemAt(['versions'], `has no version ${version}`, `choose one of the ${sample.versions.length} kept`);
}

/** Names tell versions apart; `self` is the version (from 0) that may keep its own. */
function takenProblem(sample: Sample, name: string, self = -1): DocumentProblem | null {
  if (!sample.versions.some((version, index) => index !== self && version.name === name)) return null;
  return problemAt(['versions'], `has a version "${name}" already`, 'choose another name');
}

/** Keeps the sample as it is now beside itself, under a name. */
export function keepVersion(options: { readonly name: string; readonly note?: string }): Command {
  const { name, note } = options;
  return {
    name: () => `keep as "${name}"`,
    refusal: (sample) =>
      firstProblem(
        () => fieldProblem(nameField, name, ['versions', sample.versions.length, 'name']),
        () => takenProblem(sample, name),
        () =>
          sample.versions.length < MOST_VERSIONS
            ? null
            : problemAt(['versions'], `has ${MOST_VERSIONS} versions already`, 'delete one first'),
      ),
    apply(draft) {
      const { versions: _versions, ...body } = plain(draft);
      const version: SampleVersion = note === undefined ? { name, body } : { name, note, body };
      draft.versions.push(version);
    },
  };
}

/** Makes kept version `version` (counted from 1) the sample. What was on the table is lost unless kept or undone. */
export function restoreVersion(version: number): Command {
  return {
    name: (sample) => `take up "${sample.versions[version - 1]?.name}"`,
    refusal: (sample) => indexProblem(sample, version),
    apply: (draft) => putBody(draft, plain(draft.versions[version - 1]).body),
  };
}

/** Calls kept version `version` (counted from 1) by another name, which no other may have. */
export function renameVersion(options: { readonly version: number; readonly name: string }): Command {
  const { version } = options;
  const name = options.name.trim();
  return {
    name: (sample) => `call "${sample.versions[version - 1]?.name}" "${name}"`,
    refusal: (sample) =>
      firstProblem(
        () => indexProblem(sample, version),
        () => fieldProblem(nameField, name, ['versions', version - 1, 'name']),
        () => takenProblem(sample, name, version - 1),
      ),
    apply(draft) {
      draft.versions[version - 1] = { ...plain(draft.versions[version - 1]), name };
    },
  };
}

export function deleteVersion(version: number): Command {
  return {
    name: (sample) => `discard "${sample.versions[version - 1]?.name}"`,
    refusal: (sample) => indexProblem(sample, version),
    apply(draft) {
      draft.versions.splice(version - 1, 1);
    },
  };
}

/** Puts another sample on the table: its versions come with it. Undo brings the old one back. */
export function loadSample(sample: Sample): Command {
  return {
    name: () => `open "${sample.name}"`,
    refusal: () => null,
    apply(draft) {
      putBody(draft, bodyOf(sample));
      draft.versions = sample.versions;
    },
  };
}
