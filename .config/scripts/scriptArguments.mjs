import { parseArgs } from 'node:util';

/** @returns refuse(message): ends with one clear line that begins with the script's name, and exit code 2 */
export const refuserOf = (name) => (message) => {
  console.error(`${name}: ${message}`);
  process.exit(2);
};

/** The options' values; what the command line does not say right, or `--help`, is answered by the usage, and ends. */
export function readOptions(options, usage, refuse) {
  let values;
  try {
    ({ values } = parseArgs({ options: { ...options, help: { type: 'boolean', short: 'h', default: false } } }));
  } catch (error) {
    return refuse(`${error.message}\n${usage}`);
  }
  if (!values.help) return values;
  console.log(usage);
  return process.exit(0);
}

/** Samples a pixel, 1 to 256. */
export function readSamples(text, refuse) {
  const samples = Number(text);
  if (Number.isInteger(samples) && samples >= 1 && samples <= 256) return samples;
  return refuse(`--samples ${text}: 1 to 256`);
}

/**
 * Names parted by commas; all that are known where none is said.
 * @param hint where to find what is known
 */
export function readOnly(text, known, hint, refuse) {
  const names = text ? text.split(',') : known;
  const unknown = names.filter((name) => !known.includes(name));
  return unknown.length > 0 ? refuse(`--only ${unknown.join(',')}: ${hint}`) : names;
}
