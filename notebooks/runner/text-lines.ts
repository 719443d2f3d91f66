/** A multi-line text of the notebook format as one string. */
export const joined = (of: string | readonly string[]): string => (typeof of === 'string' ? of : of.join(''));

/** A text as the list of its lines, each with its line break: what shows well in a comparison of two versions. */
export const lines = (of: string): string[] => of.match(/[^\n]*\n|[^\n]+$/g) ?? [];
