/** An id made of a yarn's name: lower-case Latin letters, figures and hyphens, as `idField` asks; "yarn" where none is left. */
export function yarnIdFromName(name: string): string {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 48)
    .replace(/-+$/, '');
  if (plain === '') return 'yarn';
  return /^(?!x\d)[a-z]/.test(plain) ? plain : `yarn-${plain}`;
}
