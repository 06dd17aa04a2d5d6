/** The same grey behind every picture that is kept, in linear light: for a page of paper or a guide, not for the table. */
export const stillBackground = [0.7, 0.7, 0.7] as const;
